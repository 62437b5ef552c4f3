import { type ReactNode, useId } from 'react';

interface RegionProps {
  readonly title: string;
  /** Small print beside the title: unit, counts. */
  readonly note?: ReactNode;
  /** At the right end of the title's line. */
  readonly end?: ReactNode;
  readonly className?: string;
  readonly children: ReactNode;
}

/** A part of a screen: a title, a note beside it, and what it is about. No box. */
export function Region({ title, note, end, className, children }: RegionProps): ReactNode {
  const id = useId();
  return (
    <section className={className === undefined ? 'region' : `region ${className}`} aria-labelledby={id}>
      <header className="region-head">
        <h2 id={id}>{title}</h2>
        {note === undefined ? null : <span className="note">{note}</span>}
        {end === undefined ? null : <span className="end">{end}</span>}
      </header>
      {children}
    </section>
  );
}
