import type { ReadingRow } from '#core/contract/models/shared.ts';
import { plainDecimal, roundedText } from '#core/text/format.ts';
import { civilText } from '#core/time/civil-time.ts';
import { torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { t } from '../../parts/text.ts';

export const mostCopied = 20_000;

/** Rows as tab-separated text with a head: plain numbers without thin spaces, so that a spreadsheet reads them. */
export function rowsAsText(
  rows: readonly ReadingRow[],
  operator: (badge: string | null, name: string | null) => string,
): string {
  const head = [
    t('ui.readings.head.mark', {}),
    `${t('ui.readings.head.date', {})} ${t('ui.readings.head.time', {})}`,
    t('ui.readings.head.joint', {}),
    t('ui.readings.head.fastener', {}),
    t('ui.readings.head.tool', {}),
    t('ui.readings.head.operator', {}),
    t('ui.readings.head.torque', { unit: '' }),
    t('ui.readings.head.unit', {}),
    t('ui.readings.head.torquePlace', {}),
    t('ui.readings.head.angle', {}),
    t('ui.readings.head.anglePlace', {}),
    t('ui.readings.head.ownResult', {}),
    t('ui.readings.head.attempt', {}),
    t('ui.readings.head.note', {}),
    t('ui.readings.head.source', {}),
  ];
  const place = (value: number | null): string => (value === null ? '' : roundedText(value, 3));
  const lines = rows.map((row) =>
    [
      row.verdict === 'unjudged'
        ? t('ui.mark.unjudged', {})
        : row.reasons.length === 0
          ? t('ui.mark.inside', {})
          : row.reasons.map((reason) => t(`ui.mark.${reason}`, {})).join(', '),
      row.at === null ? '' : civilText(row.at, row.atStepMs),
      row.joint ?? '',
      row.fastener ?? '',
      row.tool ?? '',
      operator(row.operator, row.operatorName),
      row.torque === null ? '' : roundedText(row.torque, row.torqueDecimals),
      row.torque === null ? '' : torqueUnitSymbols[row.unit],
      place(row.torquePlace),
      row.angleDeg === null ? '' : plainDecimal(row.angleDeg),
      place(row.anglePlace),
      row.ownResult === null ? '' : t(`ui.readings.own.${row.ownResult}`, {}),
      row.attempt === null ? '' : String(row.attempt),
      row.note ?? '',
      `${row.sourceName}, ${row.line}`,
    ]
      .map(cell)
      .join('\t'),
  );
  return [head.join('\t'), ...lines].join('\n');
}

/** A name out of a file may hold a tab or a line break, or begin like a formula; neither may act in a spreadsheet. */
function cell(text: string): string {
  const flat = text.replace(/[\t\r\n]+/g, ' ');
  return /^[=@+]/.test(flat) || /^-[^\d.]/.test(flat) ? `'${flat}` : flat;
}
