import type { StudyModel } from '../contract/models/study-model.ts';
import type { Drawing } from './figure.ts';
import { figureFormat, figureText } from './figure-format.ts';
import { groupMiddle } from './group-middle.ts';
import type { StudyAxisLayout } from './study-axis-layout.ts';
import { limitsCaption, type PlacedLabel } from './study-control-labels.ts';

/** Hollow circles for every signal; names for those that find room. */
export function signalDrawings(model: StudyModel, at: StudyAxisLayout): readonly Drawing[] {
  const out: Drawing[] = [];
  const signals = model.groups.filter((g) => g.signals.length > 0 && g.mean !== null);
  out.push({
    kind: 'marks',
    mark: 'outside-control',
    x: signals.map(groupMiddle),
    y: signals.map((g) => g.mean ?? Number.NaN),
    colour: 'ink',
    size: signals.length > 60 ? 6 : 10,
  });
  const kx = (at.runRight - at.left) / (at.x.max - at.x.min);
  const ky = (at.bottom - at.top) / (at.y.max - at.y.min);
  const centre = model.chart.center ?? 0;
  // The caption of the limits stands first: names give way to it.
  const caption = limitsCaption(model, at);
  const placed: PlacedLabel[] = caption === null ? [] : [caption.box];
  const overlap = (a: PlacedLabel, b: PlacedLabel): boolean => a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1;
  const free = (box: PlacedLabel): boolean => !placed.some((other) => overlap(other, box));
  // No name may hide another signal's circle.
  const circles = signals.map((group): PlacedLabel => {
    const px = at.left + (groupMiddle(group) - at.x.min) * kx;
    const py = at.bottom - ((group.mean ?? centre) - at.y.min) * ky;
    return { x0: px - 4, x1: px + 4, y0: py - 4, y1: py + 4 };
  });
  const farthest = [...signals].sort(
    (a, b) => Math.abs((b.mean ?? centre) - centre) - Math.abs((a.mean ?? centre) - centre),
  );
  for (const group of farthest.slice(0, 6)) {
    const mean = group.mean ?? centre;
    const value = figureFormat.number(mean, model.decimals);
    const text = group.signals.includes('beyond-3-sigma')
      ? figureText('figure.study.outside', { value })
      : group.signals.includes('9-on-one-side')
        ? figureText('figure.study.run-of-9', { value })
        : figureText('figure.study.signal', { value });
    const below =
      group.signals.includes('beyond-3-sigma') && model.chart.kind === 'means'
        ? figureText('figure.study.outside-means', {})
        : null;
    const up = mean >= centre;
    const px = at.left + (groupMiddle(group) - at.x.min) * kx;
    const py = at.bottom - (mean - at.y.min) * ky;
    const half = Math.max(text.length, below?.length ?? 0) * 3 + 2;
    const align = px - half < at.left ? 'left' : px + half > at.runRight ? 'right' : 'center';
    const x0 = align === 'left' ? px - 4 : align === 'right' ? px - 2 * half : px - half;
    const boxOf = (lines: number): PlacedLabel => {
      const y0 = up ? py - 10 - 13 * lines : py + 8;
      return { x0, x1: x0 + 2 * half, y0, y1: y0 + 13 * lines };
    };
    // Where there is no room for both lines, the first alone says it.
    const second = below !== null && free(boxOf(2)) ? below : null;
    const box = boxOf(second === null ? 1 : 2);
    if (!free(box) || circles.some((circle) => overlap(circle, box))) continue;
    placed.push(box);
    const label = (content: string, strong: boolean, dyPx: number): Drawing => ({
      kind: 'text',
      text: content,
      x: groupMiddle(group),
      y: mean,
      dyPx,
      align,
      strong,
      colour: strong ? 'ink' : 'ink-2',
      halo: true,
    });
    if (up) {
      out.push(label(text, true, second === null ? -14 : -27));
      if (second !== null) out.push(label(second, false, -14));
    } else {
      out.push(label(text, true, 14));
      if (second !== null) out.push(label(second, false, 27));
    }
  }
  return out;
}
