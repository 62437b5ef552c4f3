import { type KeyboardEvent, type ReactNode, useEffect, useId, useRef, useState } from 'react';
import type { Disposition } from '#core/readings/plant.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';
import './note-form.css';

const dispositions: readonly Disposition[] = [
  'note',
  'open',
  're-checked',
  're-tightened',
  'replaced',
  'cleaned',
  'accepted',
];

/** A note on a reading, or the same note on several: text and what became of it. */
export function NoteForm({
  readings,
  start = '',
  onDone,
}: {
  /** One or more. */
  readings: readonly string[];
  /** Text to begin with: the question the note answers. */
  start?: string;
  onDone: (written: boolean) => void;
}): ReactNode {
  const [text, setText] = useState(start);
  const [disposition, setDisposition] = useState<Disposition>('note');
  const note = useCommand('mark:note');
  const area = useRef<HTMLTextAreaElement>(null);
  const id = useId();
  useEffect(() => area.current?.focus(), []);
  // "Accepted" without a reason is no disposition.
  const needsText = disposition === 'note' || disposition === 'accepted';
  const ready = !note.running && (!needsText || text.trim() !== '');
  const save = (): void => {
    const [reading, ...also] = readings;
    if (!ready || reading === undefined) return;
    const several = also.length > 0 ? { also } : {};
    void note.run({ reading, ...several, disposition, text: text.trim() }).then((done) => {
      if (done) onDone(true);
    });
  };
  const onKeyDown = (event: KeyboardEvent<HTMLFormElement>): void => {
    if (event.key === 'Escape') onDone(false);
    else if (event.key === 'Enter' && (event.ctrlKey || event.metaKey)) save();
    else return;
    event.preventDefault();
    event.stopPropagation();
  };
  return (
    <form
      className="note-form"
      onKeyDown={onKeyDown}
      onSubmit={(event) => {
        event.preventDefault();
        save();
      }}
    >
      <label htmlFor={`${id}text`}>
        {readings.length > 1
          ? t('ui.review.note.text-several', { count: readings.length })
          : t('ui.review.note.text', {})}
      </label>
      <textarea
        id={`${id}text`}
        ref={area}
        rows={2}
        maxLength={2000}
        value={text}
        onChange={(event) => setText(event.target.value)}
      />
      <label htmlFor={`${id}what`}>{t('ui.review.note.disposition', {})}</label>
      <select
        id={`${id}what`}
        value={disposition}
        onChange={(event) => {
          const chosen = dispositions.find((d) => d === event.target.value);
          if (chosen) setDisposition(chosen);
        }}
      >
        {dispositions.map((d) => (
          <option key={d} value={d}>
            {t(`ui.disposition.${d}`, {})}
          </option>
        ))}
      </select>
      <span className="caption">
        {disposition === 'accepted' && text.trim() === '' ? t('ui.review.note.why', {}) : t('ui.review.note.kept', {})}
      </span>
      <ProblemLine problem={note.problem} />
      <span className="row">
        <button type="submit" className="button you" disabled={!ready}>
          {t('ui.save', {})}
        </button>
        <Button onPress={() => onDone(false)}>{t('ui.cancel', {})}</Button>
      </span>
    </form>
  );
}
