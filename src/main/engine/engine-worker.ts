/** Entry of the engine thread. */
import { parentPort, workerData } from 'node:worker_threads';
import type { EngineSettings } from '../client/engine-client.ts';
import { runEngine } from './run-engine.ts';

if (!parentPort) throw new Error('engine-worker is the entry of a thread');
// Written by startEngine on the other side of this very border.
await runEngine(workerData as EngineSettings, parentPort);
