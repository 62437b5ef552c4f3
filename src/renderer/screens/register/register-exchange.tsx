import { type ReactNode, useRef, useState } from 'react';
import {
  type RegisterTable,
  registerCsv,
  registerFileFromCsv,
  registerTableNames,
} from '#core/register/register-csv.ts';
import type { RegisterFile } from '#core/register/register-file.ts';
import { say } from '#core/text/said.ts';
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

/** The register as one JSON file or a CSV a table, out and in. */
export function RegisterExchange({ onImport }: { onImport: (file: RegisterImport) => void }): ReactNode {
  const bridge = useBridge();
  const exported = useCommand('register:export');
  const input = useRef<HTMLInputElement>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const saveTable = async (table: RegisterTable): Promise<void> => {
    const all = await exported.run({});
    if (all === null) return;
    // Made by `registerToFile` on the other side.
    const bytes = new TextEncoder().encode(registerCsv(all as RegisterFile, table));
    await bridge.saveFile({ name: `tightbook-${table}.csv`, mime: 'text/csv', bytes });
  };
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
      <p className="csv-tables">
        <span className="caption">{t('register-ui.export-csv', {})}</span>
        {registerTableNames.map((table) => (
          <Button key={table} kind="link" onPress={() => void saveTable(table)}>
            {t('register-ui.export-table', { table })}
          </Button>
        ))}
      </p>
      <input
        ref={input}
        type="file"
        accept=".json,.csv,application/json,text/csv"
        hidden
        tabIndex={-1}
        aria-hidden="true"
        data-testid="register-file"
        onChange={async (event) => {
          const file = event.target.files?.[0];
          event.target.value = '';
          if (!file) return;
          setWrong(null);
          if (/\.csv$/i.test(file.name)) {
            const { file: parsed, problems } = registerFileFromCsv(await file.text());
            const [first] = problems;
            if (first) setWrong(say(first));
            // As below: every key is checked by the engine.
            else onImport({ name: file.name, file: parsed as FilePart });
            return;
          }
          try {
            // Of unknown shape: the engine checks every key before anything is changed.
            onImport({ name: file.name, file: JSON.parse(await file.text()) as FilePart });
          } catch {
            setWrong(t('register-ui.import.not-json', { name: file.name }));
          }
        }}
      />
      {wrong === null ? null : (
        <p className="problem" role="alert">
          {wrong}
        </p>
      )}
      <ProblemLine problem={exported.problem} />
    </section>
  );
}
