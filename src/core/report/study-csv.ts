/** A study's numbers as CSV: choices, indices, figures, then every reading that is listed. Full precision, no grouping. */
import type { StudyModel } from '../contract/models/study-model.ts';
import type { ListedReading } from '../study/listed-readings.ts';
import { say } from '../text/said.ts';
import { civilText } from '../time/civil-time.ts';
import { csvText } from './csv-text.ts';

/**
 * One file with named parts, a blank line between them. Numbers are the shortest decimals that read back.
 *
 * @param listed every reading of the study; by default those that are drawn one by one, which above some thousands are few
 */
export function studyCsv(model: StudyModel, listed: readonly ListedReading[] = model.marks): string {
  const answer = model.answer;
  const rows: (string | number | null)[][] = [
    ['part', 'name', 'value', 'low95', 'high95', 'note'],
    ['choice', 'joint', model.scopeFacts.joint, null, null, null],
    ['choice', 'characteristic', model.choices.of, null, null, null],
    ['choice', 'attempts', model.choices.attempts, null, null, null],
    ['choice', 'model', model.choices.model, null, null, null],
    ['choice', 'fingerprint', model.fingerprint, null, null, null],
    ['choice', 'program', model.programVersion, null, null, null],
    ['limit', 'low', model.limits.low, null, null, model.unit],
    ['limit', 'target', model.limits.target, null, null, model.unit],
    ['limit', 'high', model.limits.high, null, null, model.unit],
  ];
  if (answer) {
    rows.push(
      ['figure', 'n', answer.n, null, null, null],
      ['figure', 'mean', answer.location.mean, null, null, model.unit],
      ['figure', 'median', answer.location.median, null, null, model.unit],
      ['figure', 's overall', answer.spread.overall, null, null, model.unit],
      ['figure', 's within', answer.spread.within, null, null, answer.spread.withinMethod],
      [
        'figure',
        'expected outside per million',
        answer.outside.expectedPpm?.value ?? null,
        answer.outside.expectedPpm?.low95 ?? null,
        answer.outside.expectedPpm?.high95 ?? null,
        null,
      ],
      [
        'figure',
        'observed outside',
        answer.outside.observed.count,
        answer.outside.observed.low95,
        answer.outside.observed.high95,
        'interval is of the share',
      ],
      ['figure', 'Ppk at the permitted error of the tool', answer.measurement.ppkAtPermittedError, null, null, null],
    );
  }
  for (const row of model.indices)
    rows.push(['index', row.name, row.value, row.low95, row.high95, row.note ? say(row.note) : row.method]);
  rows.push(['verdict', model.verdict.outcome, say(model.verdict.because), null, null, null]);
  for (const out of model.leftOut) {
    rows.push(['left out', out.id, out.value, null, null, `${out.reason} (${out.by})`]);
  }
  const readings: (string | number | null)[][] = listed.map((mark) => [
    mark.id,
    mark.at === null ? null : civilText(mark.at, mark.atStepMs),
    mark.tool,
    mark.operator,
    mark.value,
    mark.group === null ? null : mark.group + 1,
    mark.leftOut ? 'left out' : null,
  ]);
  const list =
    readings.length === 0
      ? ''
      : `\r\n${csvText([['reading', 'time', 'tool', 'operator', model.unit, 'group', 'note'], ...readings])}`;
  return csvText(rows) + list;
}
