/**
 * Where the worker threads' entry files are, unbuilt and built.
 *
 * The only place that knows: unbuilt, each entry is a source file beside its code; built, all lie flat in out/main.
 */
const unbuilt = import.meta.url.endsWith('.ts');

export const engineUrl = new URL(unbuilt ? './engine/engine-worker.ts' : './engine-worker.js', import.meta.url);
export const readerUrl = new URL(unbuilt ? './reader/reader-worker.ts' : './reader-worker.js', import.meta.url);

/** The top of the installation: where sample-data and the built renderer lie. */
// src/main and out/main lie equally deep.
export const installationUrl = new URL('../../', import.meta.url);
