import { type ReactNode, useState } from 'react';
import type { DetailValue, ReadingDetail } from '#core/contract/models/readings-model.ts';
import { figureFormat } from '#core/figures/figure-format.ts';
import { type TorqueUnit, torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { useCall } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { MarkGlyph } from '../../parts/mark-glyph.tsx';
import { PlaceInLimits } from '../../parts/place-in-limits.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { SidePanel } from '../../parts/side-panel.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { changeView } from '../../state/view.ts';
import { rowMark } from '../review/failing.tsx';
import { NoteForm } from '../review/note-form.tsx';

/** One reading in full: the raw line, how it was read, the limits in force, its other tries, its notes. */
export function Drawer({
  id,
  writing,
  onWrite,
  onClose,
}: {
  id: string;
  writing: boolean;
  onWrite: (writing: boolean) => void;
  onClose: () => void;
}): ReactNode {
  const call = useCall('readings:detail', { id }, 'readings detail');
  const detail = call.value;
  return (
    <SidePanel
      title={detail ? <Sentence of={detail.heading} /> : ''}
      note={detail ? <Sentence of={detail.under} /> : undefined}
      onClose={onClose}
    >
      <Waiting on={call.loading} />
      <ProblemLine problem={call.problem} onAgain={call.again} />
      {detail ? <Detail detail={detail} writing={writing} onWrite={onWrite} /> : null}
    </SidePanel>
  );
}

function Detail({
  detail,
  writing,
  onWrite,
}: {
  detail: ReadingDetail;
  writing: boolean;
  onWrite: (writing: boolean) => void;
}): ReactNode {
  const { row } = detail;
  const [aroundShown, setAroundShown] = useState(false);
  const show = (reading: string): void => changeView({ reading }, 'replace');
  return (
    <dl>
      <Value title={t('ui.detail.torque', {})} value={detail.torque} row={row} strip="torque" />
      <Value title={t('ui.detail.angle', {})} value={detail.angle} row={row} strip="angle" />
      {detail.unjudged ? (
        <>
          <dt>{t('ui.detail.verdict', {})}</dt>
          <dd>
            <MarkGlyph kind="unjudged" quiet /> <Sentence of={detail.unjudged} />
          </dd>
        </>
      ) : null}
      <dt>{t('ui.detail.limits', {})}</dt>
      <dd className="second">
        {detail.revision ? t('ui.detail.revision', detail.revision) : t('ui.detail.none', {})}
        {detail.adapter ? (
          <>
            <br />
            <Sentence of={detail.adapter} />
          </>
        ) : null}
      </dd>
      {detail.ownDiffers ? (
        <>
          <dt>{t('ui.readings.head.ownResult', {})}</dt>
          <dd className="strong">
            <Sentence of={detail.ownDiffers} />
          </dd>
        </>
      ) : null}
      {detail.tries.length > 0 ? (
        <>
          <dt>
            {t('ui.detail.tries', {})}
            {detail.chainBy ? `, ${t(`ui.detail.tries.${detail.chainBy}`, {})}` : ''}
          </dt>
          <dd>
            <ol className="tries">
              {detail.tries.map((one) => (
                <li key={one.id} className={one.here ? 'strong' : ''}>
                  {one.here ? (
                    <Sentence of={one.said} />
                  ) : (
                    <Button kind="link" onPress={() => show(one.id)}>
                      <Sentence of={one.said} />
                    </Button>
                  )}
                </li>
              ))}
            </ol>
          </dd>
        </>
      ) : null}
      {detail.remarks.length > 0 ? (
        <>
          <dt>{t('ui.detail.remarks', {})}</dt>
          {detail.remarks.map((remark, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: remarks have no identity but their place
            <dd key={index}>
              <Sentence of={remark} />
            </dd>
          ))}
        </>
      ) : null}
      <dt>{t('ui.detail.written', {})}</dt>
      <dd>
        {detail.rawLine === null ? null : <code>{detail.rawLine}</code>}
        {detail.rawNote ? (
          <p className="muted">
            <Sentence of={detail.rawNote} />
          </p>
        ) : detail.rawLine === null ? (
          <span className="muted">{t('ui.detail.unreadable', {})}</span>
        ) : null}
      </dd>
      <dt>{t('ui.detail.source', {})}</dt>
      <dd>{t('ui.detail.source-line', { name: detail.sourceName, line: detail.line })}</dd>
      {detail.leftOut ? (
        <>
          <dt>
            <MarkGlyph kind="left-out" quiet /> {t('ui.detail.left-out', {})}
          </dt>
          <dd>
            {detail.leftOut.reason}
            <br />
            <span className="muted">
              {t('ui.review.note.by', { by: detail.leftOut.by, at: detail.leftOut.decidedMs })}
            </span>
          </dd>
        </>
      ) : null}
      <dt>{t('ui.detail.notes', {})}</dt>
      {detail.notes.map((note) => (
        <dd key={note.change} className="you">
          {noteText(note.disposition, note.text)}
          <br />
          <span className="muted">{t('ui.review.note.by', { by: note.by, at: note.decidedMs })}</span>
        </dd>
      ))}
      <dd>
        {writing ? (
          <NoteForm key={row.id} readings={[row.id]} onDone={() => onWrite(false)} />
        ) : (
          <Button kind="link" onPress={() => onWrite(true)}>
            <span className="you">{t('ui.review.write-note', {})}</span> <kbd>N</kbd>
          </Button>
        )}
      </dd>
      {detail.before.length + detail.after.length > 0 ? (
        <>
          <dt>
            <Button kind="link" expanded={aroundShown} onPress={() => setAroundShown(!aroundShown)}>
              {t('ui.detail.around', { tool: row.tool ?? '' })}
            </Button>
          </dt>
          {aroundShown ? (
            <dd>
              <table className="data">
                <tbody>
                  {[...detail.before, row, ...detail.after].map((other) => (
                    <tr key={other.id}>
                      <td>
                        <MarkGlyph kind={rowMark(other)} />
                      </td>
                      <td>{other.at === null ? '–' : figureFormat.time(other.at)}</td>
                      <td>
                        {other.id === row.id ? (
                          <strong>{other.joint ?? '–'}</strong>
                        ) : (
                          <Button kind="link" onPress={() => show(other.id)}>
                            {other.joint ?? '–'}
                          </Button>
                        )}
                      </td>
                      <td className="right">
                        {other.torque === null ? '–' : figureFormat.number(other.torque, other.torqueDecimals)}
                      </td>
                      <td className="right">
                        {other.angleDeg === null ? '' : `${figureFormat.number(other.angleDeg)}°`}
                      </td>
                    </tr>
                  ))}
                </tbody>
              </table>
            </dd>
          ) : null}
        </>
      ) : null}
    </dl>
  );
}

function noteText(disposition: string, text: string): string {
  switch (disposition) {
    case 'open':
    case 're-checked':
    case 're-tightened':
    case 'replaced':
    case 'cleaned':
    case 'accepted': {
      const words = t(`ui.disposition.${disposition}`, {});
      return text === '' ? words : `${words}: ${text}`;
    }
    default:
      return text;
  }
}

const symbol = (unit: TorqueUnit | 'deg'): string => (unit === 'deg' ? '°' : `\u00a0${torqueUnitSymbols[unit]}`);

/** The limits in their own unit, and the judged value where it is not the recorded one. */
function limitsWords(value: DetailValue): string {
  const same = value.unit === value.judgedUnit;
  const decimals = same ? value.decimals : Math.max(2, value.decimals);
  const words = (v: number | null): string | null => (v === null ? null : figureFormat.number(v, decimals));
  const within = t('ui.detail.within', { low: words(value.low), high: words(value.high) });
  const unit = value.low === null && value.high === null ? '' : symbol(value.judgedUnit);
  if (value.judged === null) return `${within}${unit}; ${t('ui.detail.other-direction', {})}`;
  return same && value.judged === value.recorded
    ? `${within}${unit}`
    : `${t('ui.detail.judged-as', { value: `${words(value.judged)}${symbol(value.judgedUnit)}` })}; ${within}`;
}

function Value({
  title,
  value,
  row,
  strip,
}: {
  title: string;
  value: DetailValue | null;
  row: ReadingDetail['row'];
  strip: 'torque' | 'angle';
}): ReactNode {
  if (!value) return null;
  const reason = row.reasons.find((r) => r.startsWith(strip));
  return (
    <>
      <dt>{title}</dt>
      <dd>
        <strong className="value">
          {figureFormat.number(value.recorded, value.decimals)}
          {symbol(value.unit)}
        </strong>{' '}
        {reason ? (
          <span className={reason.endsWith('low') ? 'low' : 'high'}>
            <MarkGlyph kind={reason} quiet /> {t(`ui.mark.${reason}`, {})}
          </span>
        ) : null}
        {value.place === null ? null : <PlaceInLimits place={value.place} mark={reason ?? 'inside'} width={84} />}
        <br />
        <span className="second">{limitsWords(value)}</span>
      </dd>
    </>
  );
}
