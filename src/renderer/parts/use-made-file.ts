import { useCallback, useState } from 'react';
import type { MadeFile } from '#core/contract/calls.ts';
import type { Problem } from '#core/contract/problems.ts';
import { problemOf } from '../bridge/problem-of.ts';
import { useBridge } from '../bridge/use-bridge.ts';

/** Makes a file and hands it to the user: report, print, export. */
export function useMadeFile(): {
  make(from: () => Promise<MadeFile>): void;
  readonly running: boolean;
  readonly problem: Problem | null;
  /** Name of the last file that was handed over. */
  readonly written: string | null;
} {
  const bridge = useBridge();
  const [state, setState] = useState<{ running: boolean; problem: Problem | null; written: string | null }>({
    running: false,
    problem: null,
    written: null,
  });
  const make = useCallback(
    (from: () => Promise<MadeFile>) => {
      setState({ running: true, problem: null, written: null });
      from()
        .then(async (file) => {
          const saved = await bridge.saveFile(file);
          setState({ running: false, problem: null, written: saved ? file.name : null });
        })
        .catch((thrown: unknown) => setState({ running: false, problem: problemOf(thrown), written: null }));
    },
    [bridge],
  );
  return { make, ...state };
}
