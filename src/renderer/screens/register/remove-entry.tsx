import { type ReactNode, useState } from 'react';
import type { RemovalModel } from '#core/contract/models/register-model.ts';
import { useCall, useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { QuestionFrame } from '../../parts/question-card.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { ChoiceField, TextField } from './number-field.tsx';
import { leaveEntry } from './register-place.ts';
import { SettlePreview, useSettlePreview } from './settle-preview.tsx';

interface RemovalProps {
  readonly kind: RemovalModel['kind'];
  readonly name: string;
  readonly onTold: (words: string) => void;
  /** The entry is gone, removed or merged into another, and no place or filter names it any more. */
  readonly onGone?: () => void;
  /** A tool was retired instead: forms that show what it was are out of date. */
  readonly onRetired?: () => void;
}

/** A press that asks what removing an entry would come to. */
export function RemoveEntry(props: RemovalProps): ReactNode {
  const [asked, setAsked] = useState(false);
  return (
    <div className="edit-form">
      <Button kind="link" expanded={asked} onPress={() => setAsked(!asked)}>
        {t('register-ui.remove.of', { name: props.name })}
      </Button>
      {asked ? <RemovalCard {...props} onDrop={() => setAsked(false)} /> : null}
    </div>
  );
}

/** What removing an entry comes to; what to do instead where something points to it. */
export function RemovalCard({
  kind,
  name,
  onTold,
  onGone,
  onRetired,
  onDrop,
}: RemovalProps & { readonly onDrop: () => void }): ReactNode {
  const removal = useCall('register:removal', { kind, name }, 'register-removal', {
    touches: ['readings', 'register', 'marks', 'studies'],
  });
  const remove = useCommand('register:remove');
  const settle = useCommand('register:settle');
  const put = useCommand('register:put');
  const [why, setWhy] = useState('');
  const [into, setInto] = useState('');
  const merging = useSettlePreview(
    kind === 'shift' ? 'joint' : kind,
    name,
    kind === 'shift' || into === '' ? null : into,
    'register-merging',
  );
  const shown = removal.value?.name === name ? removal.value : null;
  const running = remove.running || settle.running || put.running;
  const title = t('register-ui.remove.title', { name });
  const takeOut = async (): Promise<void> => {
    if (!(await remove.run({ kind, name, why: why.trim() === '' ? null : why.trim() }))) return;
    onTold(t('register-ui.remove.done', { name }));
    leaveEntry(kind, name, null);
    onGone?.();
  };
  const merge = async (): Promise<void> => {
    if (kind === 'shift' || !(await settle.run({ kind, name, into }))) return;
    onTold(t('register-ui.settle.done', { name, into }));
    leaveEntry(kind, name, into);
    onGone?.();
  };
  const retire = async (): Promise<void> => {
    if (!(await put.run({ file: { tools: [{ serial: name, status: 'retired' }] }, why: null }))) return;
    onTold(t('register-ui.remove.retired', { name }));
    onDrop();
    onRetired?.();
  };
  return (
    <QuestionFrame label={title}>
      <Waiting on={removal.loading && shown === null} onCancel={removal.cancel} />
      <h2 className="you">{title}</h2>
      {shown ? (
        <p>
          <Sentence of={shown.said} />
        </p>
      ) : null}
      {shown?.instead ? (
        <p>
          <Sentence of={shown.instead} />
        </p>
      ) : null}
      {shown?.allowed ? (
        <div className="field-row">
          <TextField label={t('register-ui.why', {})} value={why} onChange={setWhy} />
        </div>
      ) : null}
      {shown && shown.mergeInto.length > 0 ? (
        <div className="field-row">
          <ChoiceField
            label={t('register-ui.remove.merge-into', {})}
            value={into}
            options={[
              { value: '', text: t('register-ui.remove.choose', {}) },
              ...shown.mergeInto.map((value) => ({ value, text: value })),
            ]}
            onChange={setInto}
          />
          {into === '' ? null : (
            // Not before it is said what it comes to.
            <Button kind="you" disabled={running || merging.model === null} onPress={() => void merge()}>
              {t('register-ui.settle.merge', { into })}
            </Button>
          )}
        </div>
      ) : null}
      {merging.model ? <SettlePreview model={merging.model} /> : null}
      <ProblemLine
        problem={removal.problem ?? merging.problem ?? remove.problem ?? settle.problem ?? put.problem}
        {...(removal.problem ? { onAgain: removal.again } : {})}
      />
      <div className="card-actions">
        {shown?.allowed ? (
          <Button kind="you" disabled={running || removal.stale} onPress={() => void takeOut()}>
            {t('register-ui.remove.of', { name })}
          </Button>
        ) : null}
        {shown?.canRetire ? (
          <Button disabled={running} onPress={() => void retire()}>
            {t('register-ui.remove.retire', { name })}
          </Button>
        ) : null}
        <Button onPress={onDrop}>{t(shown?.allowed === false ? 'register-ui.remove.keep' : 'ui.cancel', {})}</Button>
      </div>
    </QuestionFrame>
  );
}
