/** Fasteners tightened more than once: each from its first try to its last, on the limits' own scale. */
import type { AgainChain, AgainModel } from '../contract/models/review-model.ts';
import { say } from '../text/said.ts';
import type { Drawing, Figure, FigureStop, MarkKind } from './figure.ts';
import { figureText } from './figure-format.ts';

const left = 56;
const edge = 1.5;

/** Builds the figure; one thread a chain, in time order. */
export function tightenedAgain(model: AgainModel, size: { readonly width: number; readonly height: number }): Figure {
  const { chains } = model;
  const marks: { kind: MarkKind; x: number; y: number }[] = [];
  const from: { x: number; y: number }[] = [];
  const to: { x: number; y: number }[] = [];
  const stops: FigureStop[] = [];
  chains.forEach((chain, index) => {
    const key = stripOf(chain);
    const x = index + 0.5;
    const placed = chain.tries.flatMap((t) => {
      const place = key === 'angle' ? t.anglePlace : t.place;
      return place === null ? [] : [{ place: Math.max(-edge, Math.min(edge, place)), t }];
    });
    const first = placed[0];
    const last = placed[placed.length - 1];
    if (!first || !last) return;
    from.push({ x, y: first.place });
    to.push({ x, y: last.place });
    for (const { place, t } of placed) {
      const reason = t.reasons.find((r) => r.startsWith(key)) ?? t.reasons[0];
      marks.push({ kind: reason ?? (t.verdict === 'unjudged' ? 'unjudged' : 'inside'), x, y: place });
    }
    stops.push({ id: chain.tries[0]?.id ?? '', pane: 0, x, y: first.place, text: say(chain.said, true) });
  });
  // Few chains keep the spacing of many: a thread in the middle of nowhere says nothing about order.
  const slots = Math.max(14, chains.length);
  const scale = Math.min(0.85, Math.max(0.45, ((size.width - left) / slots / 10) * 0.9));
  const drawings: Drawing[] = [
    { kind: 'rects', colour: 'band', rects: [{ x0: null, x1: null, y0: -1, y1: 1 }] },
    { kind: 'rule', across: 'x', at: 1, colour: 'ink-2' },
    { kind: 'rule', across: 'x', at: -1, colour: 'ink-2' },
    {
      kind: 'text',
      text: figureText('ui.ribbon.high', {}),
      x: 0,
      y: 1,
      dxPx: -left,
    },
    {
      kind: 'text',
      text: figureText('ui.ribbon.low', {}),
      x: 0,
      y: -1,
      dxPx: -left,
    },
    {
      kind: 'segments',
      x0: from.map((p) => p.x),
      y0: from.map((p) => p.y),
      x1: to.map((p) => p.x),
      y1: to.map((p) => p.y),
      colour: 'ink-2',
    },
  ];
  const kinds: readonly MarkKind[] = ['inside', 'unjudged', 'angle-low', 'angle-high', 'torque-low', 'torque-high'];
  for (const kind of kinds) {
    const these = marks.filter((mark) => mark.kind === kind);
    if (these.length === 0) continue;
    drawings.push({
      kind: 'marks',
      mark: kind,
      x: these.map((mark) => mark.x),
      y: these.map((mark) => mark.y),
      colour: kind === 'inside' || kind === 'unjudged' ? kind : kind.endsWith('low') ? 'low' : 'high',
      size: 10 * scale,
    });
  }
  return {
    title: figureText('ui.review.again', {}),
    summary: figureText('ui.review.again.summary', { total: model.total, shown: chains.length }),
    panes: [
      {
        left,
        right: 0,
        top: 4,
        bottom: 4,
        x: { min: 0, max: slots },
        y: { min: -1.62, max: 1.62 },
        drawings,
      },
    ],
    stops,
  };
}

/** The strip that tells the chain: where its first try failed. */
function stripOf(chain: AgainChain): 'torque' | 'angle' {
  const reasons = chain.tries[0]?.reasons ?? [];
  return reasons.length > 0 && reasons.every((reason) => reason.startsWith('angle')) ? 'angle' : 'torque';
}
