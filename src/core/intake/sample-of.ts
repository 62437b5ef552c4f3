/** Lines that a sample should hold to say anything about a table. */
const fewLines = 8;

/**
 * The first text of a file that its layout is found from: `usual` characters, or all that is at hand when the lines are
 * so long that those hold only a few (a table of thousands of columns).
 */
export function sampleOf(text: string, usual: number): string {
  if (text.length <= usual) return text;
  let lines = 0;
  for (let at = 0; at < usual && lines < fewLines; at++) {
    const c = text.charCodeAt(at);
    if (c === 10 || c === 13) lines++;
  }
  return lines < fewLines ? text : text.slice(0, usual);
}
