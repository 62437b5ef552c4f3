/** axe-core on the page as it stands: WCAG 2.2 A and AA. */

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface Finding {
  readonly id: string;
  readonly help: string;
  readonly nodes: readonly { readonly html: string; readonly failureSummary?: string }[];
}

/** What axe finds, one line a rule and element; empty when there is nothing. */
export async function accessibilityFindings(page: Page): Promise<string[]> {
  // Evaluated by the debugger, which the page's policy does not bind.
  await page.evaluate(source);
  const findings = await page.evaluate(async () => {
    const axe = Reflect.get(globalThis, 'axe') as {
      run(context: unknown, options: unknown): Promise<{ violations: Finding[] }>;
    };
    const result = await axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'] });
    return result.violations;
  });
  return findings.flatMap((finding) =>
    finding.nodes.map((node) => `${finding.id}: ${finding.help}: ${node.html.slice(0, 160)}`),
  );
}
