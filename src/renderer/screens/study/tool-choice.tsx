import type { ReactNode } from 'react';
import type { StudyModel } from '#core/contract/models/study-model.ts';
import { Popover } from '../../parts/popover.tsx';
import { t } from '../../parts/text.ts';
import type { ChoicesPanelProps } from './choices-panel-props.ts';

/** The tools whose readings are studied; none named: all. */
export function ToolChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const chosen = choices.scope.tools;
  const offered = model?.toolsOffered ?? [];
  const text = chosen.length === 0 ? t('ui.study.tools.all', { count: offered.length }) : chosen.join(', ');
  const set = (tools: readonly string[]): void =>
    change({ scope: { ...choices.scope, tools: tools.length === offered.length ? [] : [...tools] } });
  return (
    <Popover className="select-like" label={`${t('ui.study.tools', {})}: ${text}`} text={text}>
      {() => (
        <fieldset className="name-list">
          <legend className="hidden">{t('ui.study.tools', {})}</legend>
          <label>
            <input type="checkbox" checked={chosen.length === 0} onChange={() => set([])} />
            {t('ui.scope.every', {})}
          </label>
          {offered.map((tool) => (
            <label key={tool.serial}>
              <input
                type="checkbox"
                checked={chosen.includes(tool.serial)}
                onChange={(event) =>
                  set(event.target.checked ? [...chosen, tool.serial] : chosen.filter((other) => other !== tool.serial))
                }
              />
              {t('ui.study.joint.option', { name: tool.serial, readings: tool.readings })}
            </label>
          ))}
        </fieldset>
      )}
    </Popover>
  );
}

/** What is known of the tools in the study that should stop one from trusting it. */
export function ToolNotes({ model }: { model: StudyModel | null }): ReactNode {
  const tools = model?.scopeFacts.tools ?? [];
  const notes = tools.flatMap((tool) => {
    const out: string[] = [];
    if (tool.status !== 'in-use') out.push(t('ui.study.tool.status', { tool: tool.serial, status: tool.status }));
    if (tool.overdue) out.push(t('ui.study.tool.overdue', { tool: tool.serial }));
    if (tool.latestCheck?.passed === false) out.push(t('ui.study.tool.failed', { tool: tool.serial }));
    return out;
  });
  if (notes.length > 0) return notes.join(' ');
  return tools.length > 1 ? t('ui.study.tool.several', { count: tools.length }) : null;
}
