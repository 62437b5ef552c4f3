import type { MadeFile } from '#core/contract/calls.ts';

/** Hands a made file to the browser's download. */
export function downloadFile(file: MadeFile): void {
  const bytes = new Uint8Array(file.bytes); // a copy in a buffer of its own: Blob takes no shared one
  const address = URL.createObjectURL(new Blob([bytes], { type: file.mime }));
  const link = document.createElement('a');
  link.href = address;
  link.download = file.name;
  link.click();
  // The download has begun once the click returns in no browser we know; a minute is ample.
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
}
