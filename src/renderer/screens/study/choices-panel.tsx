import { type ReactNode, useState } from 'react';
import type { StudyModel, WithinMethod } from '#core/contract/models/study-model.ts';
import { Button } from '../../parts/button.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { BaselineChoice } from './baseline-choice.tsx';
import { Choice } from './choice.tsx';
import type { ChoicesPanelProps } from './choices-panel-props.ts';
import { FitChoice, ModelChoice } from './model-choice.tsx';
import { PeriodChoice } from './period-choice.tsx';
import { RequirementChoice } from './requirement-choice.tsx';
import { ToolChoice, ToolNotes } from './tool-choice.tsx';
import { TriedLimits } from './tried-limits.tsx';

const withinMethods: readonly WithinMethod[] = ['pooled', 's-bar', 'r-bar', 'mr-bar', 'mr-median'];

/** Every choice that the study rests on, each with what it means here. */
export function ChoicesPanel({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const [open, setOpen] = useState(false);
  const facts = model?.scopeFacts ?? null;
  const known = model !== null && model.state.kind !== 'choose-joint';
  return (
    <section className={open ? 'choices open' : 'choices'} aria-label={t('ui.study.choices', {})}>
      <h2>
        {t('ui.screen.study', {})} <small>{choices.joint}</small>
      </h2>
      <div className="choices-summary">
        <span>
          {t('ui.study.summary', {
            joint: choices.joint,
            of: choices.of,
            attempts: choices.attempts,
            tools: choices.scope.tools,
            model: choices.model,
          })}
        </span>
        <Button kind="link" onPress={() => setOpen(!open)} expanded={open}>
          {open ? t('ui.study.fold', {}) : t('ui.study.unfold', {})}
        </Button>
      </div>
      <div className="choices-fields">
        <Choice label={t('ui.study.joint', {})} note={known && facts ? <Sentence of={facts.said.limits} /> : undefined}>
          <select value={choices.joint} onChange={(event) => change({ joint: event.target.value })}>
            {choices.joint === '' ? <option value="">{t('ui.study.joint.choose', {})}</option> : null}
            {jointNames(model, choices.joint).map((joint) => (
              <option key={joint.name} value={joint.name}>
                {joint.readings === null
                  ? joint.name
                  : t('ui.study.joint.option', { name: joint.name, readings: joint.readings })}
              </option>
            ))}
          </select>
        </Choice>
        <div className="choice-pair">
          <Choice label={t('ui.study.of', {})}>
            <select
              value={choices.of}
              onChange={(event) => change({ of: event.target.value === 'angle' ? 'angle' : 'torque', whatIf: null })}
            >
              <option value="torque">{t('ui.study.of.torque', {})}</option>
              <option value="angle">{t('ui.study.of.angle', {})}</option>
            </select>
          </Choice>
          <Choice label={t('ui.study.attempts', {})}>
            <select
              value={choices.attempts}
              onChange={(event) => {
                const value = event.target.value;
                change({ attempts: value === 'last' ? 'last' : value === 'all' ? 'all' : 'first' });
              }}
            >
              {(['first', 'last', 'all'] as const).map((value) => (
                <option key={value} value={value}>
                  {t('ui.study.attempts.option', { attempts: value })}
                </option>
              ))}
            </select>
          </Choice>
        </div>
        <Choice label={t('ui.study.tools', {})} note={known ? <ToolNotes model={model} /> : undefined} group>
          <ToolChoice model={model} choices={choices} change={change} />
        </Choice>
        <Choice label={t('ui.study.period', {})} group>
          <PeriodChoice model={model} choices={choices} change={change} />
        </Choice>
        <div className="choice-pair">
          <Choice label={t('ui.study.groups', {})}>
            <select
              value={String(choices.subgroup ?? (isMoving(choices.within) ? 1 : 5))}
              disabled={isMoving(choices.within)}
              onChange={(event) => {
                const size = Number(event.target.value);
                change({ subgroup: size, within: size === 1 ? 'mr-bar' : choices.within });
              }}
            >
              {Array.from({ length: 25 }, (_, k) => k + 1).map((size) => (
                <option key={size} value={size}>
                  {t('ui.study.groups.option', { size })}
                </option>
              ))}
            </select>
          </Choice>
          <Choice label={t('ui.study.within', {})}>
            <select
              value={choices.within ?? 'pooled'}
              onChange={(event) => {
                const within = withinMethods.find((method) => method === event.target.value) ?? 'pooled';
                const size = choices.subgroup ?? 5;
                change({ within, subgroup: isMoving(within) ? 1 : size === 1 ? 5 : size });
              }}
            >
              {withinMethods.map((method) => (
                <option key={method} value={method}>
                  {t('ui.study.within.option', { method })}
                </option>
              ))}
            </select>
          </Choice>
        </div>
        {known && facts ? (
          <p className="choice-note">
            <Sentence of={facts.said.groups} />
          </p>
        ) : null}
        <Choice label={t('ui.study.baseline', {})} group>
          <BaselineChoice model={model} choices={choices} change={change} />
        </Choice>
        <Choice
          label={t('ui.study.model', {})}
          note={known && facts ? <Sentence of={facts.said.distribution} /> : undefined}
        >
          <ModelChoice model={model} choices={choices} change={change} />
        </Choice>
        <FitChoice model={model} choices={choices} change={change} />
        <RequirementChoice model={model} choices={choices} change={change} />
        <TriedLimits model={model} choices={choices} change={change} />
      </div>
    </section>
  );
}

const isMoving = (within: WithinMethod | null): boolean => within === 'mr-bar' || within === 'mr-median';

function jointNames(model: StudyModel | null, chosen: string): { name: string; readings: number | null }[] {
  const offered = model?.joints ?? [];
  const known = offered.some((joint) => joint.name === chosen) || chosen === '';
  return known ? [...offered] : [{ name: chosen, readings: null }, ...offered];
}
