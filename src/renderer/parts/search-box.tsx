import { type KeyboardEvent, type ReactNode, useId, useRef, useState } from 'react';
import { useStatus } from '../state/use-status.ts';
import { changeView, currentView, type View } from '../state/view.ts';
import { useKeys } from './keys.ts';
import { useOperatorWords } from './operator-words.ts';
import { t } from './text.ts';

interface Found {
  readonly text: string;
  readonly go: () => void;
}

/** Finds joints, tools, operators and readings by any part of their text. `/` comes here. */
export function SearchBox(): ReactNode {
  const status = useStatus();
  const words = useOperatorWords();
  const [text, setText] = useState('');
  const [open, setOpen] = useState(false);
  const [at, setAt] = useState(0);
  const input = useRef<HTMLInputElement>(null);
  const id = useId();
  useKeys({ '/': () => input.current?.focus() });

  const wanted = text.trim().toLowerCase();
  const holds = (name: string): boolean => name.toLowerCase().includes(wanted);
  // By what files call it, or by what it was called before; once where its name of now holds the text as well.
  const formerOf = (names: Readonly<Record<string, string>> = {}): [string, string][] =>
    Object.entries(names).filter(([was, name]) => holds(was) && !holds(name));
  const narrow = (change: Partial<View>): void => {
    const { screen } = currentView();
    const keeps = screen === 'review' || screen === 'drift' || screen === 'readings';
    changeView({ ...change, ...(keeps ? {} : { screen: 'readings' }) });
  };
  const found: Found[] =
    wanted === '' || !status
      ? []
      : [
          ...status.tools.filter(holds).map((tool) => ({
            text: t('ui.search.tool', { name: tool }),
            go: () => narrow({ tools: [tool], tool }),
          })),
          ...status.joints.filter(holds).map((joint) => ({
            text: t('ui.search.joint', { name: joint }),
            go: () => narrow({ joints: [joint], joint }),
          })),
          ...formerOf(status.formerNames?.tools).map(([was, tool]) => ({
            text: t('ui.search.former', { kind: 'tool', name: tool, was }),
            go: () => narrow({ tools: [tool], tool }),
          })),
          ...formerOf(status.formerNames?.joints).map(([was, joint]) => ({
            text: t('ui.search.former', { kind: 'joint', name: joint, was }),
            go: () => narrow({ joints: [joint], joint }),
          })),
          ...status.operators
            .filter((o) => holds(o.badge) || holds(o.name ?? ''))
            .map((o) => ({
              text: t('ui.search.operator', { name: words(o.badge, o.name) }),
              go: () => narrow({ operators: [o.badge] }),
            })),
        ]
          .slice(0, 8)
          .concat({
            text: t('ui.search.text', { text: text.trim() }),
            go: () =>
              changeView({ screen: 'readings', filters: [{ column: 'text', contains: text.trim() }], reading: null }),
          });
  const choose = (one: Found | undefined): void => {
    if (!one) return;
    one.go();
    setText('');
    setOpen(false);
    input.current?.blur();
  };
  const onKeyDown = (event: KeyboardEvent<HTMLInputElement>): void => {
    if (event.key === 'ArrowDown') setAt(Math.min(found.length - 1, at + 1));
    else if (event.key === 'ArrowUp') setAt(Math.max(0, at - 1));
    else if (event.key === 'Enter') choose(found[at]);
    else if (event.key === 'Escape') {
      setText('');
      setOpen(false);
      input.current?.blur();
      event.stopPropagation();
      return;
    } else return;
    event.preventDefault();
  };
  const shown = open && found.length > 0;
  return (
    <span className="search">
      <input
        ref={input}
        type="text"
        role="combobox"
        aria-label={t('ui.search', {})}
        aria-expanded={shown}
        aria-controls={id}
        aria-autocomplete="list"
        {...(shown ? { 'aria-activedescendant': `${id}-${at}` } : {})}
        placeholder={t('ui.search', {})}
        value={text}
        onChange={(event) => {
          setText(event.target.value);
          setOpen(true);
          setAt(0);
        }}
        onBlur={() => setOpen(false)}
        onKeyDown={onKeyDown}
      />
      <span className="kbd" aria-hidden="true">
        /
      </span>
      <div id={id} role="listbox" aria-label={t('ui.search', {})} className={shown ? 'found' : 'found closed'}>
        {shown
          ? found.map((one, index) => (
              // biome-ignore lint/a11y/useKeyWithClickEvents: the keys are the input's, by aria-activedescendant
              <div
                key={one.text}
                id={`${id}-${index}`}
                role="option"
                aria-selected={index === at}
                tabIndex={-1}
                onPointerDown={(event) => event.preventDefault()}
                onClick={() => choose(one)}
              >
                {one.text}
              </div>
            ))
          : null}
      </div>
    </span>
  );
}
