/** Text that people or files wrote, with everything taken out that a sentence would read as a mark. */
export function unmarked(text: string): string {
  return text.replace(/\*\*/g, '* *').replace(/[{}]/g, (brace) => (brace === '{' ? '(' : ')'));
}
