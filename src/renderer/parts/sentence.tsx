import { Fragment, type ReactNode } from 'react';
import { type Said, sayMarked } from '#core/text/said.ts';
import { plain } from './text.ts';

/** A sentence with its marks as elements: strong, low, high, you, mono. */
export function Sentence({ of }: { of: Said }): ReactNode {
  return marked(sayMarked(of, true));
}

/** The finding of a screen: one or two sentences in the serif voice. One a screen, so it is the page's heading. */
export function Finding({ of, id }: { of: Said | readonly Said[]; id?: string }): ReactNode {
  const all = Array.isArray(of) ? (of as readonly Said[]) : [of as Said]; // told apart by isArray
  return (
    // In low windows only the first line is shown; the rest stays in the hover.
    <h1 className="say" title={all.map(plain).join(' ')} {...(id === undefined ? {} : { id })}>
      {all.map((sentence, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: sentences have no identity but their place
        <Fragment key={index}>
          {index > 0 ? ' ' : ''}
          <Sentence of={sentence} />
        </Fragment>
      ))}
    </h1>
  );
}

type Wrap = 'strong' | 'low' | 'high' | 'you' | 'mono';

/** Turns the marks of a phrase into elements. An unclosed mark runs to the end of the phrase. */
export function marked(text: string): ReactNode {
  interface Open {
    readonly wrap: Wrap | null;
    readonly inside: ReactNode[];
  }
  const stack: Open[] = [{ wrap: null, inside: [] }];
  const put = (node: ReactNode): void => {
    stack[stack.length - 1]!.inside.push(node);
  };
  let key = 0;
  const close = (): void => {
    const done = stack.pop()!;
    key += 1;
    put(wrapped(done.wrap, done.inside, key));
  };
  for (const piece of text.split(/(\*\*|\{(?:low|high|you|mono)\||\})/)) {
    const top = stack[stack.length - 1]!;
    const opening = /^\{(low|high|you|mono)\|$/.exec(piece);
    if (piece === '**') {
      if (top.wrap === 'strong') close();
      else stack.push({ wrap: 'strong', inside: [] });
    } else if (opening)
      stack.push({ wrap: opening[1] as Wrap, inside: [] }); // one of the four of the pattern
    else if (piece === '}' && top.wrap !== null && top.wrap !== 'strong') close();
    else if (piece !== '') put(piece);
  }
  while (stack.length > 1) close();
  return stack[0]!.inside;
}

function wrapped(wrap: Wrap | null, inside: ReactNode[], key: number): ReactNode {
  if (wrap === 'strong') return <strong key={key}>{inside}</strong>;
  if (wrap === 'mono') return <code key={key}>{inside}</code>;
  return (
    <span key={key} className={wrap ?? ''}>
      {inside}
    </span>
  );
}
