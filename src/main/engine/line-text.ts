/** Bytes of a line as text for showing: UTF-8 where they are, else one byte a character. */
export function lineText(bytes: Uint8Array): string {
  const text = bytes.includes(0)
    ? new TextDecoder(bytes[0] === 0 ? 'utf-16be' : 'utf-16le').decode(bytes)
    : decodeByteText(bytes);
  return text.replace(/[\r\n]+$/, '').slice(0, 1000);
}

function decodeByteText(bytes: Uint8Array): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}
