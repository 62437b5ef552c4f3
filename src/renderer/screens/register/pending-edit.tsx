import type { ReactNode } from 'react';
import type { RequestInput } from '#core/contract/calls.ts';
import type { EditPreview } from '#core/contract/models/register-model.ts';
import { said } from '#core/text/said.ts';
import { useCall, useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { QuestionFrame } from '../../parts/question-card.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';

/** A register file, whole or in part, as the engine takes it. */
export type FilePart = RequestInput<'register:put'>['file'];

const listed = 8;

interface PendingEditProps {
  readonly file: FilePart;
  readonly title: (preview: EditPreview | null) => string;
  readonly putText: string;
  readonly why?: string | null;
  readonly onDone: () => void;
  readonly onDrop: () => void;
  readonly dropText: string;
  /** Whether the entries that change are listed; false where the title says so already. */
  readonly namesEntries?: boolean;
}

/** A change that waits: what it would do, said before anything is done. */
export function PendingEdit(props: PendingEditProps): ReactNode {
  const { file, title, putText, why = null, onDone, onDrop, dropText, namesEntries = true } = props;
  const preview = useCall('register:preview', { file }, 'register-preview');
  const put = useCommand('register:put');
  const shown = preview.value;
  const wrong = shown !== null && shown.problems.length > 0;
  const differs = shown !== null && shown.added.length + shown.changed.length > 0;
  return (
    <QuestionFrame label={title(shown)}>
      <Waiting on={preview.loading} />
      <h2 className="you">{title(shown)}</h2>
      {shown ? (
        wrong ? (
          <SaidList items={shown.problems} />
        ) : (
          <>
            <p>
              <Sentence of={shown.said} />
            </p>
            {shown.torques ? (
              <p>
                <Sentence of={shown.torques.said} />
              </p>
            ) : null}
            <SaidList items={shown.joints.flatMap(changesOf)} />
            {namesEntries ? <SaidList items={[...shown.added, ...shown.changed]} /> : null}
          </>
        )
      ) : null}
      <ProblemLine problem={preview.problem ?? put.problem} />
      <div className="card-actions">
        <Button
          kind="you"
          disabled={shown === null || wrong || !differs || put.running || preview.stale}
          onPress={async () => {
            if (await put.run({ file, why })) onDone();
          }}
        >
          {putText}
        </Button>
        <Button onPress={onDrop}>{dropText}</Button>
      </div>
    </QuestionFrame>
  );
}

/** "Rack stay M8: 38 of 412 readings would change from inside to torque low." */
const changesOf = (one: EditPreview['joints'][number]): EditPreview['added'] =>
  one.joint === ''
    ? []
    : one.changes.map((change) => said('register-ui.joint-change', { joint: one.joint, change: change.said }));

function SaidList({ items }: { items: EditPreview['added'] }): ReactNode {
  if (items.length === 0) return null;
  return (
    <ul className="said-list">
      {items.slice(0, listed).map((item, index) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: sentences have no identity but their place
        <li key={index}>
          <Sentence of={item} />
        </li>
      ))}
      {items.length > listed ? <li>{t('register-ui.more', { count: items.length - listed })}</li> : null}
    </ul>
  );
}
