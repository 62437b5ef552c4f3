import type { ReactNode } from 'react';
import type { ToolModel } from '#core/contract/models/register-model.ts';
import { adapterFactor } from '#core/units/adapter-factor.ts';
import { Button } from '../../parts/button.tsx';
import { QuestionFrame } from '../../parts/question-card.tsx';
import { t } from '../../parts/text.ts';
import { type AdapterDraft, adapterFile } from './adapter-draft.ts';
import { AdapterPicture } from './adapter-picture.tsx';
import { DateField, NumberField, TextField, typedNumber } from './number-field.tsx';
import { PendingEdit } from './pending-edit.tsx';

/** Writes a period of an adapter, or takes one out, and says what follows before anything is changed. */
export function AdapterForm({
  tool,
  draft,
  onChange,
  onDrop,
  onDone,
}: {
  tool: ToolModel;
  draft: AdapterDraft;
  onChange: (draft: AdapterDraft) => void;
  onDrop: () => void;
  onDone: () => void;
}): ReactNode {
  const set = (change: Partial<AdapterDraft>): void => onChange({ ...draft, ...change });
  const file = adapterFile(tool, draft);
  const title = t(`register-ui.adapter.${draft.what}`, { tool: tool.serial });
  const why = draft.why.trim();
  return (
    <div className="adapter-edit">
      <form className="draft-form" aria-label={title} onSubmit={(event) => event.preventDefault()}>
        {draft.what === 'remove' ? null : <Fields tool={tool} draft={draft} set={set} />}
        <div className="field-row">
          {draft.what === 'remove' ? null : <Period draft={draft} set={set} />}
          <TextField label={t('register-ui.why', {})} value={draft.why} onChange={(text) => set({ why: text })} />
        </div>
      </form>
      {file === null ? (
        <QuestionFrame label={title}>
          <h2 className="you">{title}</h2>
          <p>{t('register-ui.adapter.fill', {})}</p>
          <div className="card-actions">
            <Button onPress={onDrop}>{t('ui.cancel', {})}</Button>
          </div>
        </QuestionFrame>
      ) : (
        <PendingEdit
          file={file}
          title={() => title}
          putText={t(draft.what === 'remove' ? 'register-ui.adapter.remove-put' : 'register-ui.save', {})}
          dropText={t('ui.cancel', {})}
          why={why === '' ? null : why}
          namesEntries={false}
          onDrop={onDrop}
          onDone={onDone}
        />
      )}
    </div>
  );
}

function Fields({
  tool,
  draft,
  set,
}: {
  tool: ToolModel;
  draft: AdapterDraft;
  set: (change: Partial<AdapterDraft>) => void;
}): ReactNode {
  const length = typedNumber(draft.length);
  const lengthMm = length === null || Number.isNaN(length) ? tool.lengthMm : length;
  const offset = finite(draft.offset);
  const angle = finite(draft.angle);
  const factor = lengthMm === null || offset === null || angle === null ? null : adapterFactor(lengthMm, offset, angle);
  return (
    <div className="adapter-fields">
      <div className="field-rows">
        <div className="field-row">
          <NumberField
            label={t('register-ui.adapter.length', {})}
            value={draft.length}
            onChange={(text) => set({ length: text })}
          />
          <NumberField
            label={t('register-ui.adapter.offset', {})}
            value={draft.offset}
            onChange={(text) => set({ offset: text })}
          />
          <NumberField
            label={t('register-ui.adapter.angle', {})}
            value={draft.angle}
            onChange={(text) => set({ angle: text })}
          />
        </div>
        <p className="second" role="status">
          {factor !== null && lengthMm !== null && offset !== null && angle !== null
            ? t('register.adapter', { length: lengthMm, offset, angle, factor })
            : t('register-ui.adapter.measures', {})}
        </p>
        <p className="second">{t('register-ui.adapter.caution', {})}</p>
      </div>
      <AdapterPicture lengthMm={lengthMm} offsetMm={offset ?? 40} angleDeg={angle ?? 0} />
    </div>
  );
}

/** When it was put on and taken off; the time of day of an end that is not there is not asked for. */
function Period({ draft, set }: { draft: AdapterDraft; set: (change: Partial<AdapterDraft>) => void }): ReactNode {
  return (
    <>
      <DateField label={t('register-ui.adapter.on', {})} value={draft.from} onChange={(from) => set({ from })} />
      <DateField
        label={t('register-ui.adapter.on-time', {})}
        type="time"
        value={draft.fromTime}
        onChange={(fromTime) => set({ fromTime })}
      />
      <DateField label={t('register-ui.adapter.off', {})} value={draft.to} onChange={(to) => set({ to })} />
      {draft.to === '' ? null : (
        <DateField
          label={t('register-ui.adapter.off-time', {})}
          type="time"
          value={draft.toTime}
          onChange={(toTime) => set({ toTime })}
        />
      )}
    </>
  );
}

function finite(text: string): number | null {
  const value = typedNumber(text);
  return value === null || Number.isNaN(value) ? null : value;
}
