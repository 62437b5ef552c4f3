import { type ReactNode, useState } from 'react';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import { useCall } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { useKeys } from '../../parts/keys.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Finding, Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { useStatus } from '../../state/use-status.ts';
import { changeView } from '../../state/view.ts';
import { AxisView } from './axis-view.tsx';
import { ChoicesPanel } from './choices-panel.tsx';
import { IndicesView } from './indices-view.tsx';
import { LeftOut } from './left-out.tsx';
import { MorePanels } from './more-panels.tsx';
import { SavedStudies } from './saved-studies.tsx';
import { useStudyChoices } from './study-choices.ts';
import { Verdict } from './verdict.tsx';
import { WorkingPanel } from './working-panel.tsx';
import '../../parts/forms.css';
import './study.css';

/** Can this joint meet its requirement, and how sure are we? */
export default function StudyScreen(): ReactNode {
  const status = useStatus();
  const { choices, request, change } = useStudyChoices();
  const empty = status !== null && status.readings === 0;
  const study = useCall('study:read', status === null || empty ? null : request, 'study');
  const model = study.value;

  if (empty) {
    return (
      <div className="screen">
        <EmptyState
          action={
            <Button kind="go" onPress={() => changeView({ screen: 'intake' })}>
              {t('ui.empty.go-intake', {})}
            </Button>
          }
        >
          {t('ui.empty.no-readings', {})}
        </EmptyState>
      </div>
    );
  }
  return (
    <div className="study">
      <aside className="study-aside" aria-label={t('ui.study.choices', {})}>
        <ChoicesPanel model={model} choices={choices} change={change} />
        <SavedStudies model={model} choices={choices} change={change} />
        {model && model.scopeFacts.counts.used + model.leftOut.length > 0 ? <LeftOut model={model} /> : null}
      </aside>
      <div className="study-main">
        <Waiting on={study.loading} progress={study.progress} onCancel={study.cancel} />
        <ProblemLine problem={study.problem} onAgain={study.again} />
        {model ? (
          <div className={study.stale ? 'stale' : ''}>
            <Body model={model} onJoint={(joint) => change({ joint })} change={change} />
          </div>
        ) : null}
      </div>
    </div>
  );
}

function Body({
  model,
  onJoint,
  change,
}: {
  model: StudyModel;
  onJoint: (joint: string) => void;
  change: ReturnType<typeof useStudyChoices>['change'];
}): ReactNode {
  const first = model.verdict.glyph === null ? 'Ppk' : (model.answer?.verdict.requirement?.index ?? 'Ppk');
  const [figure, setFigure] = useState<string>(first);
  const [drawer, setDrawer] = useState(false);
  useKeys({
    w: () => {
      setDrawer(true);
      document.getElementById('working')?.focus();
    },
  });
  const { state } = model;
  if (state.kind === 'choose-joint') {
    return (
      <div className="study-empty">
        <Finding of={state.said} />
        <p className="caption">{t('ui.study.choose.note', {})}</p>
        <ul className="joint-list">
          {model.joints.slice(0, 12).map((joint) => (
            <li key={joint.name}>
              <Button onPress={() => onJoint(joint.name)}>{joint.name}</Button>
              <span className="caption">
                {t('ui.study.choose.joint', { readings: joint.readings, class: joint.class })}
              </span>
            </li>
          ))}
        </ul>
      </div>
    );
  }
  if (state.kind === 'nothing' || state.kind === 'attribute-only') {
    return (
      <div className="study-empty">
        <Finding of={state.said} />
        {state.kind === 'attribute-only' ? <AttributeRate model={model} /> : <Nothing model={model} />}
      </div>
    );
  }
  const show = (key: string): void => {
    setFigure(key);
    setDrawer(true);
  };
  return (
    <>
      <Verdict model={model} />
      {state.kind === 'too-few' ? (
        <p className="problem">
          <Sentence of={state.said} />
        </p>
      ) : null}
      <AxisView model={model} change={change} onWorking={show} />
      <div className={drawer ? 'study-bottom drawer-open' : 'study-bottom'}>
        <IndicesView model={model} selected={figure} onSelect={setFigure} onWorking={() => setDrawer(true)} />
        <WorkingPanel model={model} figure={figure} onFigure={setFigure} onClose={() => setDrawer(false)} />
      </div>
      <MorePanels model={model} />
    </>
  );
}

function Nothing({ model }: { model: StudyModel }): ReactNode {
  const { counts } = model.scopeFacts;
  return (
    <p className="caption">
      {t('ui.study.counts', {
        inScope: counts.inScope,
        leftOut: counts.leftOut,
        otherRevisions: counts.otherRevisions,
        furtherTries: counts.furtherTries,
        noValue: counts.noValue,
        otherDirection: counts.otherDirection,
      })}
    </p>
  );
}

/** No values, only pass or fail: a rate with its interval instead. */
function AttributeRate({ model }: { model: StudyModel }): ReactNode {
  const observed = model.answer?.outside.observed ?? null;
  if (observed === null || observed.share === null || observed.low95 === null || observed.high95 === null) return null;
  return (
    <p className="say">
      {t('ui.study.attribute', {
        count: observed.count,
        share: observed.share,
        low: observed.low95,
        high: observed.high95,
      })}
    </p>
  );
}
