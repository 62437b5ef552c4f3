/** Drawings that wait for their turn: one a task, so that many figures that change together never hold up a key. */
const waiting = new Map<object, () => void>();
let planned = false;

/**
 * Draws soon, in a task of its own.
 *
 * @param who a newer drawing of the same takes the place of one that still waits
 * @returns takes the drawing back
 */
export function drawSoon(who: object, draw: () => void): () => void {
  waiting.set(who, draw);
  plan();
  return () => {
    if (waiting.get(who) === draw) waiting.delete(who);
  };
}

function plan(): void {
  if (planned || waiting.size === 0) return;
  planned = true;
  setTimeout(() => {
    planned = false;
    const next = waiting.entries().next();
    if (next.done) return;
    const [who, draw] = next.value;
    waiting.delete(who);
    try {
      draw();
    } finally {
      plan();
    }
  });
}
