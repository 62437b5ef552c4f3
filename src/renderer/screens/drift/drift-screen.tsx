import { type ReactNode, useMemo } from 'react';
import type { DriftModel } from '#core/contract/models/drift-model.ts';
import { useCall } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { useKeys } from '../../parts/keys.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { ScopeBar } from '../../parts/scope-bar.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { useNow } from '../../state/use-now.ts';
import { useStatus } from '../../state/use-status.ts';
import { changeView, driftScope, useView } from '../../state/view.ts';
import { Comparisons } from './comparisons.tsx';
import { BaselineChoice, driftTouches } from './drift-options.tsx';
import { Due } from './due.tsx';
import { ToolDetail } from './tool-detail.tsx';
import { ToolList } from './tool-list.tsx';
import '../../parts/forms.css';
import './drift.css';

/** Which wrench do I take off the line today, since when, and is it the wrench? */
export default function DriftScreen(): ReactNode {
  const view = useView();
  const status = useStatus();
  const now = useNow();
  const scope = useMemo(() => driftScope(view), [view]);
  const asked = now === null || status === null || status.readings === 0 ? null : { scope, now };
  const list = useCall('drift:read', asked, 'drift-list', driftTouches);
  const model = list.value;
  const tool = model?.tools.find((row) => row.tool === view.tool)?.tool ?? model?.tools[0]?.tool ?? null;
  const detail = useCall(
    'drift:tool',
    asked === null || tool === null ? null : { ...asked, tool },
    'drift-tool',
    driftTouches,
  );

  const step = (by: -1 | 1): boolean => {
    if (!model || model.tools.length === 0) return false;
    const at = model.tools.findIndex((row) => row.tool === tool);
    const next = model.tools[Math.max(0, Math.min(model.tools.length - 1, at + by))];
    if (next) changeView({ tool: next.tool }, 'replace');
    return true;
  };
  useKeys({ j: () => step(1), k: () => step(-1) });

  if (status !== null && status.readings === 0) {
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
    <>
      <ScopeBar kind="weeks" end={model ? scopeEnd(model) : undefined}>
        <BaselineChoice blocks={model?.ewma.baselineBlocks ?? 10} />
      </ScopeBar>
      <div className="screen drift-screen">
        <Waiting on={list.loading} progress={list.progress} onCancel={list.cancel} />
        <ProblemLine problem={list.problem} onAgain={list.again} />
        {model && model.tools.length === 0 ? <Nothing /> : null}
        {model && model.tools.length > 0 && tool !== null && now !== null ? (
          <div className={list.stale ? 'drift stale' : 'drift'}>
            <div className="drift-left">
              <ToolList
                model={model}
                selected={tool}
                onSelect={(name) => changeView({ tool: name }, 'replace')}
                onOpen={(name) => changeView({ screen: 'readings', tools: [name], tool: name, filters: [] })}
              />
              <Due now={now} onTool={(name) => changeView({ tool: name }, 'replace')} />
            </div>
            <div className="drift-right">
              <Waiting on={detail.loading} progress={detail.progress} onCancel={detail.cancel} />
              <ProblemLine problem={detail.problem} onAgain={detail.again} />
              {detail.value ? (
                <ToolDetail key={detail.value.row.tool} model={detail.value} scope={scope} now={now} />
              ) : null}
              <Comparisons model={model} />
            </div>
          </div>
        ) : null}
      </div>
    </>
  );
}

function scopeEnd(model: DriftModel): string {
  return t('ui.drift.scope-end', {
    blocks: model.blocks,
    readings: model.readings,
    falseAlarms: model.expectedFalseAlarms,
  });
}

function Nothing(): ReactNode {
  return (
    <EmptyState
      action={
        <Button onPress={() => changeView({ driftPeriod: { from: null, to: null, shift: null } })}>
          {t('ui.drift.everything', {})}
        </Button>
      }
    >
      {t('ui.drift.nothing', {})}
    </EmptyState>
  );
}
