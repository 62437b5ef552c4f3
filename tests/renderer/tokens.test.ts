import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { darkLook, lightLook, printLook } from '#core/figures/look.ts';

const css = readFileSync(new URL('../../src/renderer/theme/tokens.css', import.meta.url), 'utf8');

/** Custom properties set between a selector and the closing brace of its block. */
function properties(selector: string): Map<string, string> {
  const from = css.indexOf(selector);
  expect(from).toBeGreaterThan(-1);
  const block = css.slice(from, css.indexOf('}', from));
  return new Map([...block.matchAll(/--([\w-]+):\s*([^;]+);/g)].map((m) => [m[1] ?? '', (m[2] ?? '').trim()]));
}

describe('colours of the figures', () => {
  for (const [look, selector] of [
    [lightLook, ':root, [data-theme="light"]'],
    [darkLook, '[data-theme="dark"] {'],
  ] as const) {
    it(`are those of the screen in the ${look.name} theme`, () => {
      const tokens = properties(selector);
      for (const [role, colour] of Object.entries(look.colours))
        expect([role, tokens.get(role)]).toEqual([role, colour]);
    });
  }

  it('are those of the printed page', () => {
    const tokens = properties('@media print');
    // What the print block leaves alone keeps its light value.
    for (const [role, colour] of Object.entries(printLook.colours)) {
      const token = tokens.get(role);
      if (token !== undefined) expect([role, token]).toEqual([role, colour]);
    }
  });
});

/** Relative luminance and contrast ratio. Source: WCAG 2.2, definitions "relative luminance" and "contrast ratio". */
function contrast(a: string, b: string): number {
  const light = (hex: string): number => {
    const [r = 0, g = 0, blue = 0] = [1, 3, 5].map((i) => {
      const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
      return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * blue;
  };
  const [high = 0, low = 0] = [light(a), light(b)].sort((x, y) => y - x);
  return (high + 0.05) / (low + 0.05);
}

describe('contrast', () => {
  it('follows the published formula', () => {
    // WCAG 2.2: black on white is 21:1.
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
  });

  // WCAG 2.2, 1.4.3 (text 4.5:1) and 1.4.11 (graphical objects 3:1).
  for (const look of [lightLook, darkLook, printLook]) {
    it(`of text is at least 4.5:1 and of marks at least 3:1 in the ${look.name} look`, () => {
      const c = look.colours;
      for (const ground of [c.sheet, c.paper, c['you-wash']]) {
        for (const text of [c.ink, c['ink-2'], c['ink-3'], c.you, c.low, c.high]) {
          expect(contrast(text, ground)).toBeGreaterThanOrEqual(4.5);
        }
      }
      for (const mark of [c.low, c.high, c.inside, c.unjudged, c.you]) {
        for (const ground of [c.sheet, c.band]) expect(contrast(mark, ground)).toBeGreaterThanOrEqual(3);
      }
    });
  }
});
