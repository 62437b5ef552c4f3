import { type ReactNode, useCallback, useEffect, useMemo, useState } from 'react';
import type { JointModel, RevisionRow } from '#core/contract/models/register-model.ts';
import type { Figure } from '#core/figures/figure.ts';
import { limitSteps } from '#core/figures/limit-steps.ts';
import { torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { useCall } from '../../bridge/use-call.ts';
import { FigureView } from '../../figures/figure-view.tsx';
import { Button } from '../../parts/button.tsx';
import { DataTable } from '../../parts/data-table.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { changeView, currentView, useView } from '../../state/view.ts';
import { DraftCard } from './draft-card.tsx';
import { JointForm } from './joint-form.tsx';
import { JointTools } from './joint-tools.tsx';
import { RemoveEntry } from './remove-entry.tsx';
import { draftFile, draftLimits, draftOf, type RevisionDraft } from './revision-draft.ts';
import { RevisionForm } from './revision-form.tsx';

const figureHeight = 276;
const emptyFigure: Figure = { title: '', summary: '', panes: [] };

/** One joint: its limits over time, the readings behind them, revisions, and the tools that tighten it. */
export function JointPage({
  name,
  today,
  onTold,
}: {
  name: string;
  today: number;
  onTold: (words: string) => void;
}): ReactNode {
  const joint = useCall('register:joint', { joint: name }, 'register-joint');
  const shown = joint.value?.name === name ? joint.value : null;
  return (
    <>
      <Waiting on={joint.loading && shown === null} onCancel={joint.cancel} />
      <ProblemLine problem={joint.problem} onAgain={joint.again} />
      {shown ? <Joint joint={shown} today={today} onTold={onTold} /> : <h1 className="register-title">{name}</h1>}
    </>
  );
}

function Joint({
  joint,
  today,
  onTold,
}: {
  joint: JointModel;
  today: number;
  onTold: (words: string) => void;
}): ReactNode {
  const view = useView();
  const kept = view.open[`draft:${joint.name}`];
  const [draft, setDraft] = useState<RevisionDraft | null>(() => readDraft(kept));
  const [editing, setEditing] = useState(false);
  // A draft is kept while other screens are open; it is nothing until it is put in force.
  useEffect(() => {
    const { [`draft:${joint.name}`]: _old, ...rest } = currentView().open;
    changeView({ open: draft ? { ...rest, [`draft:${joint.name}`]: JSON.stringify(draft) } : rest }, 'replace');
  }, [draft, joint.name]);
  const file = useMemo(() => (draft ? draftFile(joint.name, draft) : null), [draft, joint.name]);
  const preview = useCall('register:preview', file === null ? null : { file }, 'register-preview');
  const changed =
    preview.stale || file === null ? null : (preview.value?.joints.find((one) => one.joint === joint.name) ?? null);
  const draftShown = useMemo(
    () =>
      draft
        ? draftLimits(draft, {
            at: changed?.at ?? new Float64Array(0),
            torque: changed?.torque ?? new Float64Array(0),
            reasons: changed?.reasons ?? new Uint8Array(0),
          })
        : null,
    [draft, changed],
  );
  // Limits of the figure are in the joint's unit; a draft in another unit is not drawn over them.
  const drawn = draft && draft.unit === joint.unit ? draftShown : null;
  const build = useCallback(
    (size: { width: number; height: number }) => limitSteps(joint.steps, joint.unit, drawn, size) ?? emptyFigure,
    [joint, drawn],
  );
  const begin = (): void => setDraft(draftOf(joint, today));
  return (
    <>
      <header className="register-head">
        <div>
          <h1 className="register-title">{joint.name}</h1>
          <p className="second">
            <Sentence of={joint.said} />{' '}
            {joint.steps.every > 1 ? `${t('register-ui.steps.every', { every: joint.steps.every })}.` : ''}
          </p>
          {joint.station !== null || joint.note !== null ? (
            <p className="second">{[joint.station, joint.note].filter((one) => one !== null).join('. ')}</p>
          ) : null}
        </div>
        <div className="actions">
          <Button onPress={() => setEditing(!editing)} expanded={editing}>
            {t('register-ui.edit', {})}
          </Button>
          <Button keyName="S" onPress={() => changeView({ screen: 'study', joint: joint.name })}>
            {t('register-ui.study', {})}
          </Button>
          <Button keyName="R" onPress={() => changeView({ screen: 'readings', joints: [joint.name] })}>
            {t('register-ui.readings', {})}
          </Button>
        </div>
      </header>
      {editing ? (
        <>
          <JointForm joint={joint} onDone={() => setEditing(false)} onTold={onTold} />
          <RemoveEntry kind="joint" name={joint.name} onTold={onTold} />
        </>
      ) : null}
      <div className={draft ? 'register-columns' : 'register-columns one'}>
        <div>
          <Region
            title={t('register-ui.steps.heading', {})}
            note={t('register-ui.steps.note', {})}
            end={
              draft ? null : (
                <Button kind="link" onPress={begin}>
                  {t('register-ui.new-revision', {})}
                </Button>
              )
            }
          >
            {joint.revisions.length === 0 ? (
              <p className="no-limits">{t('register-ui.no-limits', { joint: joint.name })}</p>
            ) : null}
            {joint.steps.from === null ? (
              <p className="caption">{t('register-ui.steps.none', {})}</p>
            ) : (
              <>
                <p className="axis-title">{t('register-ui.steps.axis', { unit: torqueUnitSymbols[joint.unit] })}</p>
                <FigureView build={build} height={figureHeight} />
              </>
            )}
          </Region>
          {draft ? <RevisionForm draft={draft} onChange={setDraft} /> : null}
          <RevisionTable revisions={joint.revisions} />
          <JointTools joint={joint} today={today} />
        </div>
        {draft ? (
          <DraftCard
            joint={joint}
            draft={draft}
            file={file}
            preview={preview}
            onFrom={(from) => setDraft({ ...draft, from })}
            onDrop={() => setDraft(null)}
            onDone={() => {
              onTold(t('register-ui.saved', { what: `${joint.name} ${draft.label}` }));
              setDraft(null);
            }}
          />
        ) : null}
      </div>
    </>
  );
}

function readDraft(text: string | undefined): RevisionDraft | null {
  if (text === undefined) return null;
  try {
    return JSON.parse(text) as RevisionDraft; // written by this file
  } catch {
    return null;
  }
}

function RevisionTable({ revisions }: { revisions: readonly RevisionRow[] }): ReactNode {
  if (revisions.length === 0) return null;
  const value = (number: number | null, percent: number | null = null): ReactNode =>
    number === null ? (
      <span className="muted">{t('register-ui.none', {})}</span>
    ) : percent === null ? (
      t('register-ui.number', { value: number, decimals: 2 })
    ) : (
      `${t('register-ui.number', { value: number, decimals: 2 })} (${t('register-ui.signed', { value: percent, decimals: 0 })} %)`
    );
  const angle = (number: number | null): ReactNode =>
    number === null ? (
      <span className="muted">{t('register-ui.none', {})}</span>
    ) : (
      `${t('register-ui.plain-number', { value: number })}°`
    );
  return (
    <DataTable
      label={t('register-ui.steps.heading', {})}
      className="revisions"
      rows={revisions}
      keyOf={(row) => `${row.label} ${row.from}`}
      columns={[
        { id: 'label', head: t('register-ui.revision', {}), className: 'strong', cell: (row) => row.label },
        {
          id: 'low',
          head: t('register-ui.torque-low', {}),
          right: true,
          cell: (row) => value(row.low, row.lowPercent),
        },
        { id: 'target', head: t('register-ui.target', {}), right: true, cell: (row) => value(row.target) },
        {
          id: 'high',
          head: t('register-ui.torque-high', {}),
          right: true,
          cell: (row) => value(row.high, row.highPercent),
        },
        { id: 'unit', head: t('register-ui.unit', {}), cell: (row) => torqueUnitSymbols[row.unit] },
        { id: 'al', head: t('register-ui.angle-low', {}), right: true, cell: (row) => angle(row.angleLowDeg) },
        { id: 'ah', head: t('register-ui.angle-high', {}), right: true, cell: (row) => angle(row.angleHighDeg) },
        {
          id: 'from',
          head: t('register-ui.from', {}),
          className: 'spaced',
          cell: (row) => t('register-ui.day', { at: row.from }),
        },
        {
          id: 'count',
          head: t('register-ui.readings-inside', {}),
          right: true,
          cell: (row) => t('register-ui.count-of', { readings: row.readings, fail: row.fail }),
        },
        { id: 'by', head: t('register-ui.by', {}), className: 'spaced', cell: (row) => row.by ?? '' },
        { id: 'why', head: t('register-ui.why', {}), className: 'wide', cell: (row) => row.why ?? '' },
      ]}
    />
  );
}
