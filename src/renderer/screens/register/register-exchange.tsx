import { type ReactNode, useRef, useState } from 'react';
import { useBridge } from '../../bridge/use-bridge.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';
import type { FilePart } from './pending-edit.tsx';

export interface RegisterImport {
  readonly name: string;
  readonly file: FilePart;
}

/** The register as a JSON file, out and in. */
export function RegisterExchange({ onImport }: { onImport: (file: RegisterImport) => void }): ReactNode {
  const bridge = useBridge();
  const exported = useCommand('register:export');
  const input = useRef<HTMLInputElement>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  return (
    <section className="register-list" aria-labelledby="register-exchange">
      <h2 id="register-exchange">{t('register-ui.exchange', {})}</h2>
      <p className="row-of-links">
        <Button
          kind="link"
          onPress={async () => {
            const all = await exported.run({});
            if (all === null) return;
            const bytes = new TextEncoder().encode(`${JSON.stringify(all, null, 2)}\n`);
            await bridge.saveFile({ name: t('register-ui.export-name', {}), mime: 'application/json', bytes });
          }}
        >
          {t('register-ui.export', {})}
        </Button>
        <Button kind="link" onPress={() => input.current?.click()}>
          {t('register-ui.import', {})}
        </Button>
      </p>
      <input
        ref={input}
        type="file"
        accept=".json,application/json"
        hidden
        tabIndex={-1}
        aria-hidden="true"
        data-testid="register-file"
        onChange={async (event) => {
          const file = event.target.files?.[0];
          event.target.value = '';
          if (!file) return;
          setWrong(null);
          try {
            // Of unknown shape: the engine checks every key before anything is changed.
            onImport({ name: file.name, file: JSON.parse(await file.text()) as FilePart });
          } catch {
            setWrong(file.name);
          }
        }}
      />
      {wrong === null ? null : (
        <p className="problem" role="alert">
          {t('register-ui.import.not-json', { name: wrong })}
        </p>
      )}
      <ProblemLine problem={exported.problem} />
    </section>
  );
}
