/** Text from files, names and notes as text of a page: never as markup. */
export function escapeMarkup(text: string): string {
  return text
    .replace(/&/g, '&amp;')
    .replace(/</g, '&lt;')
    .replace(/>/g, '&gt;')
    .replace(/"/g, '&quot;')
    .replace(/'/g, '&#39;');
}

const wraps: Readonly<Record<string, readonly [string, string]>> = {
  low: ['<span class="low">', '</span>'],
  high: ['<span class="high">', '</span>'],
  you: ['<span class="you">', '</span>'],
  mono: ['<code>', '</code>'],
};

/** A sentence with the marks of said.ts as markup; everything else is escaped. */
export function markedToMarkup(text: string): string {
  return escapeMarkup(text)
    .replace(/\*\*([^*]+)\*\*/g, '<b>$1</b>')
    .replace(/\{(low|high|you|mono)\|([^{}]*)\}/g, (_all, mark: string, inner: string) =>
      (wraps[mark] ?? ['', '']).join(inner),
    );
}
