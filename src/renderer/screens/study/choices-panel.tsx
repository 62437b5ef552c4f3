import { type ReactNode, useEffect, useState } from 'react';
import type { StudyChoices } from '#core/contract/calls.ts';
import type { IndexName, StudyModel, StudyModelName, WithinMethod } from '#core/contract/models/study-model.ts';
import { everything } from '#core/readings/scope.ts';
import { civilText, msPerDay, parseCivil } from '#core/time/civil-time.ts';
import { Button } from '../../parts/button.tsx';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { Popover } from '../../parts/popover.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { useStatus } from '../../state/use-status.ts';
import { typedNumber } from '../drift/check-form.tsx';

const withinMethods: readonly WithinMethod[] = ['pooled', 's-bar', 'r-bar', 'mr-bar', 'mr-median'];
const requirementIndices: readonly IndexName[] = ['Ppk', 'Pp', 'Cpk', 'Cp', 'Cpm', 'Cm', 'Cmk'];

interface ChoicesPanelProps {
  readonly model: StudyModel | null;
  readonly choices: StudyChoices;
  readonly change: (part: Partial<StudyChoices>) => void;
}

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

function Choice({
  label,
  note,
  group = false,
  children,
}: {
  label: string;
  note?: ReactNode;
  /** The control is more than one field: a label cannot hold it. */
  group?: boolean;
  children: ReactNode;
}): ReactNode {
  return (
    <div className="choice">
      {group ? (
        <fieldset>
          <legend>{label}</legend>
          {children}
        </fieldset>
      ) : (
        // biome-ignore lint/a11y/noLabelWithoutControl: the control is the child
        <label>
          <span>{label}</span>
          {children}
        </label>
      )}
      {note === undefined ? null : <p className="choice-note">{note}</p>}
    </div>
  );
}

function ToolChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
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
function ToolNotes({ model }: { model: StudyModel | null }): ReactNode {
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

function PeriodChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const status = useStatus();
  const words = useOperatorWords();
  const { scope } = choices;
  const facts = model?.scopeFacts;
  const day = (at: number | null): string => (at === null ? '' : civilText(at, msPerDay));
  const shownFrom = scope.from ?? facts?.from ?? null;
  const shownTo = scope.to === null ? (facts?.to ?? null) : scope.to - 1;
  const read = (text: string): number | null => parseCivil(text)?.at ?? null;
  const set = (part: Partial<StudyChoices['scope']>): void => change({ scope: { ...scope, ...part } });
  const text =
    scope.from === null && scope.to === null && shownFrom !== null && shownTo !== null
      ? t('ui.study.period.all', { from: shownFrom, to: shownTo })
      : shownFrom !== null && shownTo !== null
        ? t('ui.scope.range', { from: shownFrom, to: shownTo })
        : t('ui.scope.all-time', {});
  const more = [
    ...scope.shifts,
    ...scope.operators.map((badge) =>
      words(badge, status?.operators.find((operator) => operator.badge === badge)?.name ?? null),
    ),
  ];
  return (
    <Popover
      className="select-like"
      label={`${t('ui.study.period', {})}: ${text}`}
      text={more.length === 0 ? text : `${text}; ${more.join(', ')}`}
    >
      {() => (
        <div className="fields">
          <label>
            {t('ui.scope.from', {})}
            <input
              type="date"
              value={day(shownFrom)}
              onChange={(event) => {
                const at = read(event.target.value);
                if (at !== null) set({ from: at });
              }}
            />
          </label>
          <label>
            {t('ui.scope.to', {})}
            <input
              type="date"
              value={day(shownTo)}
              onChange={(event) => {
                const at = read(event.target.value);
                if (at !== null) set({ to: at + msPerDay });
              }}
            />
          </label>
          <Button onPress={() => set({ from: null, to: null })}>{t('ui.scope.all-time', {})}</Button>
          <NameBoxes
            legend={t('ui.study.shifts', {})}
            all={(status?.shifts ?? []).map((shift) => ({ name: shift.name, text: shift.name }))}
            chosen={scope.shifts}
            onChange={(shifts) => set({ shifts })}
          />
          <NameBoxes
            legend={t('ui.scope.operator', {})}
            all={(status?.operators ?? []).map((o) => ({ name: o.badge, text: words(o.badge, o.name) }))}
            chosen={scope.operators}
            onChange={(operators) => set({ operators })}
          />
          {scope === everything ? null : (
            <Button onPress={() => set({ from: null, to: null, shifts: [], operators: [] })}>
              {t('ui.study.period.reset', {})}
            </Button>
          )}
        </div>
      )}
    </Popover>
  );
}

function NameBoxes({
  legend,
  all,
  chosen,
  onChange,
}: {
  legend: string;
  all: readonly { readonly name: string; readonly text: string }[];
  chosen: readonly string[];
  onChange: (names: string[]) => void;
}): ReactNode {
  if (all.length === 0) return null;
  return (
    <fieldset className="name-list">
      <legend className="muted">{legend}</legend>
      {all.map(({ name, text }) => (
        <label key={name}>
          <input
            type="checkbox"
            checked={chosen.length === 0 || chosen.includes(name)}
            onChange={(event) => {
              const now = chosen.length === 0 ? all.map((one) => one.name) : chosen;
              const next = event.target.checked ? [...now, name] : now.filter((other) => other !== name);
              onChange(next.length === all.length || next.length === 0 ? [] : next);
            }}
          />
          {text}
        </label>
      ))}
    </fieldset>
  );
}

function ModelChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const offered = model?.models ?? [];
  if (offered.length === 0) {
    return (
      <select value={choices.model} disabled>
        <option value={choices.model}>{t('figure.study.model-name', { name: choices.model })}</option>
      </select>
    );
  }
  return (
    <select
      value={choices.model}
      onChange={(event) => {
        const name = offered.find((one) => one.name === event.target.value)?.name;
        if (name !== undefined) change({ model: name satisfies StudyModelName });
      }}
    >
      {offered.map((one) => (
        <option key={one.name} value={one.name} disabled={!one.offered && one.name !== choices.model}>
          {one.offered ? plain(one.title) : t('ui.study.model.not', { title: plain(one.title) })}
          {one.recommended && one.name !== 'normal' ? t('ui.study.model.recommended', {}) : ''}
        </option>
      ))}
    </select>
  );
}

/** Whether the p of the chosen distribution is simulated; the normal has a table for it. */
function FitChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  if (choices.model === 'normal' || choices.model === 'empirical') return null;
  const p = model?.models.find((one) => one.chosen)?.fitP ?? null;
  return (
    <div className="choice">
      <label className="check">
        <input type="checkbox" checked={choices.fitP} onChange={(event) => change({ fitP: event.target.checked })} />
        {t('ui.study.fit-p', {})}
      </label>
      <p className="choice-note">
        {choices.fitP && p !== null ? t('ui.study.fit-p.is', { p }) : t('ui.study.fit-p.note', {})}
      </p>
    </div>
  );
}

/** The days whose groups set the centre and the limits of the control chart. */
function BaselineChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const { baseline } = choices;
  const facts = model?.scopeFacts;
  const day = (at: number | null): string => (at === null ? '' : civilText(at, msPerDay));
  const from = baseline?.from ?? null;
  const to = baseline === null || baseline.to === null ? null : baseline.to - 1;
  const shownFrom = from ?? facts?.from ?? null;
  const shownTo = to ?? facts?.to ?? null;
  const read = (text: string): number | null => parseCivil(text)?.at ?? null;
  const set = (next: { from: number | null; to: number | null }): void => {
    if (next.from === null || next.to === null || next.from < next.to) change({ baseline: next });
  };
  const points = model?.chart.baseline?.points ?? null;
  const text =
    baseline === null || shownFrom === null || shownTo === null
      ? t('ui.study.baseline.all', {})
      : t('ui.scope.range', { from: shownFrom, to: shownTo });
  return (
    <Popover
      className="select-like"
      label={`${t('ui.study.baseline', {})}: ${text}`}
      text={baseline === null || points === null ? text : t('ui.study.baseline.with', { span: text, points })}
    >
      {() => (
        <div className="fields">
          <label>
            {t('ui.scope.from', {})}
            <input
              type="date"
              value={day(shownFrom)}
              onChange={(event) => {
                const at = read(event.target.value);
                if (at !== null) set({ from: at, to: baseline?.to ?? null });
              }}
            />
          </label>
          <label>
            {t('ui.scope.to', {})}
            <input
              type="date"
              value={day(shownTo)}
              onChange={(event) => {
                const at = read(event.target.value);
                if (at !== null) set({ from, to: at + msPerDay });
              }}
            />
          </label>
          <p className="choice-note">{t('ui.study.baseline.note', {})}</p>
          {baseline === null ? null : (
            <Button onPress={() => change({ baseline: null })}>{t('ui.study.baseline.all', {})}</Button>
          )}
        </div>
      )}
    </Popover>
  );
}

function RequirementChoice({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const inForce = choices.requirement ?? model?.scopeFacts.requirement ?? null;
  const shown = inForce === null ? '' : String(inForce.value);
  const [text, setText] = useState(shown);
  useEffect(() => setText(shown), [shown]);
  const index = inForce?.index ?? 'Ppk';
  const value = typedNumber(text);
  const commit = (): void => {
    if (value !== null && value > 0 && value !== inForce?.value) change({ requirement: { index, value } });
  };
  return (
    <fieldset className="choice">
      <legend>{t('ui.study.requirement', {})}</legend>
      <div className="requirement">
        <select
          aria-label={t('ui.study.requirement.index', {})}
          value={index}
          onChange={(event) => {
            const next = requirementIndices.find((name) => name === event.target.value);
            if (next) change({ requirement: { index: next, value: inForce?.value ?? 1.33 } });
          }}
        >
          {requirementIndices.map((name) => (
            <option key={name} value={name}>
              {name}
            </option>
          ))}
        </select>
        <span>{t('ui.study.requirement.at-least', {})}</span>
        <input
          type="text"
          inputMode="decimal"
          size={5}
          aria-label={t('ui.study.requirement.value', {})}
          value={text}
          onChange={(event) => setText(event.target.value)}
          onBlur={commit}
          onKeyDown={(event) => {
            if (event.key === 'Enter') commit();
          }}
        />
        {choices.requirement ? (
          <Button kind="link" onPress={() => change({ requirement: null })}>
            {t('ui.study.requirement.by-class', {})}
          </Button>
        ) : null}
      </div>
      {text !== '' && (value === null || value <= 0) ? (
        <p className="choice-note" role="alert">
          {t('ui.study.requirement.bad', {})}
        </p>
      ) : null}
      <p className="choice-note">
        {t('ui.study.requirement.note', {
          from: choices.requirement ? 'chosen' : (model?.scopeFacts.requirement?.from ?? null),
          class: model?.scopeFacts.jointClass ?? null,
        })}
      </p>
      <fieldset className="judged">
        <legend className="hidden">{t('ui.study.judged', {})}</legend>
        {(['estimate', 'low-end'] as const).map((judge) => (
          <label key={judge}>
            <input type="radio" name="judged" checked={choices.judge === judge} onChange={() => change({ judge })} />
            {t('ui.study.judged.option', { judge })}
          </label>
        ))}
      </fieldset>
    </fieldset>
  );
}

/** Limits tried out: hypothetical, never stored with the joint. */
function TriedLimits({ model, choices, change }: ChoicesPanelProps): ReactNode {
  const { whatIf } = choices;
  const real = model?.limits ?? { low: null, high: null };
  const [low, setLow] = useState('');
  const [high, setHigh] = useState('');
  const kept = `${whatIf?.low ?? ''} ${whatIf?.high ?? ''}`;
  // biome-ignore lint/correctness/useExhaustiveDependencies: only a change from outside (a dragged limit) fills the fields
  useEffect(() => {
    const shown = (value: number | null | undefined, limit: number | null): string =>
      value === null || value === undefined || value === limit ? '' : String(value);
    setLow(shown(whatIf?.low, real.low));
    setHigh(shown(whatIf?.high, real.high));
  }, [kept, real.low, real.high]);
  const commit = (): void => {
    const l = low.trim() === '' ? null : typedNumber(low);
    const h = high.trim() === '' ? null : typedNumber(high);
    if ((low.trim() !== '' && l === null) || (high.trim() !== '' && h === null)) return;
    if (l !== null && h !== null && l >= h) return;
    // An empty field keeps the real limit.
    const next = l === null && h === null ? null : { low: l ?? real.low, high: h ?? real.high };
    if (next !== null && next.low !== null && next.high !== null && next.low >= next.high) return;
    if (JSON.stringify(next) !== JSON.stringify(whatIf)) change({ whatIf: next });
  };
  const wrong =
    (low.trim() !== '' && typedNumber(low) === null) || (high.trim() !== '' && typedNumber(high) === null)
      ? t('ui.study.tried.not-number', {})
      : (typedNumber(low) ?? real.low ?? -Infinity) >= (typedNumber(high) ?? real.high ?? Infinity)
        ? t('ui.study.tried.order', {})
        : null;
  const field = (value: string, set: (text: string) => void, name: string, now: number | null): ReactNode => (
    <label>
      <span>{name}</span>
      <input
        type="text"
        inputMode="decimal"
        size={7}
        value={value}
        placeholder={now === null ? '' : String(now)}
        onChange={(event) => set(event.target.value)}
        onBlur={commit}
        onKeyDown={(event) => {
          if (event.key === 'Enter') commit();
        }}
      />
    </label>
  );
  return (
    <fieldset className={whatIf ? 'choice tried on' : 'choice tried'}>
      <legend>{t('ui.study.tried', {})}</legend>
      <div className="requirement">
        {field(low, setLow, t('ui.study.tried.low', {}), real.low)}
        {field(high, setHigh, t('ui.study.tried.high', {}), real.high)}
        {whatIf ? (
          <Button kind="link" onPress={() => change({ whatIf: null })}>
            {t('ui.study.tried.clear', {})}
          </Button>
        ) : null}
      </div>
      {wrong ? (
        <p className="choice-note" role="alert">
          {wrong}
        </p>
      ) : null}
      <p className="choice-note">{t('ui.study.tried.note', {})}</p>
    </fieldset>
  );
}
