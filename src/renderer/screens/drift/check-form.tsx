import { type FormEvent, type ReactNode, useEffect, useId, useRef, useState } from 'react';
import type { DriftToolModel } from '#core/contract/models/drift-model.ts';
import { civilText, parseCivil } from '#core/time/civil-time.ts';
import { isTorqueUnit, type TorqueUnit, torqueUnitCodes, torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';

interface Pull {
  readonly key: number;
  readonly shown: string;
  readonly reference: string;
}

const pullsAtFirst = 5;

/** A number typed with a point or a comma; null when it is none. */
export function typedNumber(text: string): number | null {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  return /^-?\d+(\.\d+)?$/.test(plain) ? Number(plain) : null;
}

/** Log a check in place: nominal, then one row a pull. Deviation and verdict of each pull as it is typed. */
export function CheckForm({
  model,
  now,
  onClose,
}: {
  model: DriftToolModel;
  now: number;
  onClose: () => void;
}): ReactNode {
  const { tool, checks } = model.row;
  const latest = checks.latest;
  const [at, setAt] = useState(civilText(now).slice(0, 16));
  const [kind, setKind] = useState<'as-found' | 'as-left'>('as-found');
  const [nominal, setNominal] = useState(latest === null ? '' : String(latest.nominal));
  const [unit, setUnit] = useState<TorqueUnit>(latest?.unit ?? 'N.m');
  const [uncertainty, setUncertainty] = useState('');
  const [pulls, setPulls] = useState<readonly Pull[]>(() =>
    Array.from({ length: pullsAtFirst }, (_, key) => ({ key, shown: '', reference: '' })),
  );
  const [complaint, setComplaint] = useState<string | null>(null);
  const put = useCommand('register:put');
  const first = useRef<HTMLInputElement>(null);
  const id = useId();
  useEffect(() => first.current?.focus(), []);

  const filled = pulls.filter((pull) => pull.shown.trim() !== '' || pull.reference.trim() !== '');
  const permitted = checks.permissiblePercent;

  const send = async (event: FormEvent): Promise<void> => {
    event.preventDefault();
    const when = parseCivil(at);
    const target = typedNumber(nominal);
    const doubt = uncertainty.trim() === '' ? null : typedNumber(uncertainty);
    if (when === null) return setComplaint(t('ui.drift.form.bad-time', {}));
    if (target === null || target <= 0) return setComplaint(t('ui.drift.form.bad-nominal', {}));
    if (uncertainty.trim() !== '' && (doubt === null || doubt <= 0)) {
      return setComplaint(t('ui.drift.form.bad-uncertainty', {}));
    }
    if (filled.length === 0) return setComplaint(t('ui.drift.form.no-pull', {}));
    const rows = [];
    for (const [index, pull] of filled.entries()) {
      const shown = typedNumber(pull.shown);
      const reference = typedNumber(pull.reference);
      if (shown === null || reference === null || reference <= 0) {
        return setComplaint(t('ui.drift.form.bad-pull', { pull: index + 1 }));
      }
      rows.push({
        tool,
        at: civilText(when.at),
        nominal: target,
        reference,
        reading: shown,
        unit,
        kind,
        ...(doubt === null ? {} : { uncertaintyPercent: doubt }),
      });
    }
    setComplaint(null);
    if (await put.run({ file: { checks: rows }, why: t('ui.drift.form.why', { tool }) })) onClose();
  };

  return (
    <form className="inline-form" aria-labelledby={id} onSubmit={(event) => void send(event)}>
      <h2 id={id}>{t('ui.drift.form.title', { tool })}</h2>
      <div className="form-row">
        <label>
          {t('ui.drift.form.when', {})}
          <input ref={first} type="datetime-local" value={at} onChange={(e) => setAt(e.target.value)} />
        </label>
        <label>
          {t('ui.drift.form.kind', {})}
          <select value={kind} onChange={(e) => setKind(e.target.value === 'as-left' ? 'as-left' : 'as-found')}>
            <option value="as-found">{t('ui.drift.form.as-found', {})}</option>
            <option value="as-left">{t('ui.drift.form.as-left', {})}</option>
          </select>
        </label>
        <label>
          {t('ui.drift.form.nominal', {})}
          <input
            type="text"
            inputMode="decimal"
            size={7}
            value={nominal}
            onChange={(e) => setNominal(e.target.value)}
          />
        </label>
        <label>
          {t('ui.drift.form.unit', {})}
          <select value={unit} onChange={(e) => isTorqueUnit(e.target.value) && setUnit(e.target.value)}>
            {torqueUnitCodes.map((code) => (
              <option key={code} value={code}>
                {torqueUnitSymbols[code]}
              </option>
            ))}
          </select>
        </label>
        <label>
          {t('ui.drift.form.uncertainty', {})}
          <input
            type="text"
            inputMode="decimal"
            size={5}
            value={uncertainty}
            onChange={(e) => setUncertainty(e.target.value)}
          />
        </label>
      </div>
      <table className="data pulls">
        <thead>
          <tr>
            <th scope="col">{t('ui.drift.form.pull', {})}</th>
            <th scope="col">{t('ui.drift.form.shown', {})}</th>
            <th scope="col">{t('ui.drift.form.reference', {})}</th>
            <th scope="col" className="right">
              {t('ui.drift.checks.deviation', {})}
            </th>
            <th scope="col" />
          </tr>
        </thead>
        <tbody>
          {pulls.map((pull, index) => {
            const change = (part: Partial<Pull>): void => {
              setComplaint(null);
              setPulls(pulls.map((other) => (other.key === pull.key ? { ...other, ...part } : other)));
            };
            const shown = typedNumber(pull.shown);
            const reference = typedNumber(pull.reference);
            const deviation =
              shown === null || reference === null || reference <= 0 ? null : (100 * (shown - reference)) / reference;
            // The limit itself passes (definitions 13: to 1e-9).
            const outside = deviation !== null && permitted !== null && Math.abs(deviation) > permitted + 1e-9;
            return (
              <tr key={pull.key}>
                <th scope="row">{index + 1}</th>
                <td>
                  <input
                    type="text"
                    inputMode="decimal"
                    size={8}
                    aria-label={t('ui.drift.form.shown-of', { pull: index + 1 })}
                    value={pull.shown}
                    onChange={(e) => change({ shown: e.target.value })}
                  />
                </td>
                <td>
                  <input
                    type="text"
                    inputMode="decimal"
                    size={8}
                    aria-label={t('ui.drift.form.reference-of', { pull: index + 1 })}
                    value={pull.reference}
                    onChange={(e) => change({ reference: e.target.value })}
                  />
                </td>
                <td className="right">{deviation === null ? '' : t('ui.drift.signed', { value: deviation })}</td>
                <td className={outside ? 'strong' : 'second'}>
                  {deviation === null
                    ? ''
                    : permitted === null
                      ? t('ui.drift.form.unknown', {})
                      : outside
                        ? t('ui.drift.form.outside', { permitted })
                        : t('ui.drift.form.inside', { permitted })}
                </td>
              </tr>
            );
          })}
        </tbody>
      </table>
      <p className="caption">
        <Button
          kind="link"
          onPress={() => setPulls([...pulls, { key: (pulls.at(-1)?.key ?? 0) + 1, shown: '', reference: '' }])}
        >
          {t('ui.drift.form.more', {})}
        </Button>{' '}
        {filled.length === 1 ? t('ui.drift.form.one', {}) : ''} {t('ui.drift.form.range', {})}
      </p>
      {complaint === null ? null : (
        <p className="problem" role="alert">
          {complaint}
        </p>
      )}
      <ProblemLine problem={put.problem} />
      <div className="form-row">
        <button type="submit" className="button go" disabled={put.running}>
          {t('ui.drift.form.save', {})}
        </button>
        <Button onPress={onClose}>{t('ui.cancel', {})}</Button>
        <span className="caption">{t('ui.drift.form.kept', {})}</span>
      </div>
    </form>
  );
}
