/** Opens an engine and serves it over a port: the same for its own thread and for the command line's. */
import type { MessagePort } from 'node:worker_threads';
import type { FromEngine, ToEngine } from '#core/contract/wire.ts';
import type { EngineSettings } from '../client/engine-client.ts';
import { createDispatcher } from './dispatch.ts';
import { openEngine } from './engine.ts';
import { toProblem } from './to-problem.ts';

/** Serves until a `shell:close` was answered; then closes the port. */
export async function runEngine(settings: EngineSettings, port: MessagePort): Promise<void> {
  const send = (message: FromEngine): void => port.postMessage(message);
  try {
    const engine = await openEngine({ ...settings, clock: Date.now });
    const dispatcher = createDispatcher(engine, send, () => performance.now());
    port.on('message', (message: ToEngine) => {
      dispatcher.receive(message);
      if ('call' in message && message.call === 'shell:close') void dispatcher.idle().then(() => port.close());
    });
    send({ ready: true, uploadFolder: engine.uploadFolder });
  } catch (thrown) {
    send({ ready: false, problem: toProblem(thrown) });
    port.close();
  }
}
