import { type ReactNode, useRef, useState } from 'react';
import type { RecipeRow } from '#core/contract/models/intake-model.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

/** Saved ways of reading known layouts: listed, renamed, deleted, exported, imported. */
export function RecipeList({
  recipes,
  onTold,
}: {
  recipes: readonly RecipeRow[];
  onTold: (words: string) => void;
}): ReactNode {
  const bridge = useBridge();
  const list = useCommand('recipe:list');
  const put = useCommand('recipe:put');
  const [wrongFile, setWrongFile] = useState<string | null>(null);
  const input = useRef<HTMLInputElement>(null);

  const exportAll = async (): Promise<void> => {
    const all = await list.run({});
    if (!all) return;
    const bytes = new TextEncoder().encode(`${JSON.stringify(all, null, 2)}\n`);
    await bridge.saveFile({ name: t('intake-ui.recipes.file-name', {}), mime: 'application/json', bytes });
  };
  const importFrom = async (file: File): Promise<void> => {
    setWrongFile(null);
    let parsed: unknown;
    try {
      parsed = JSON.parse(await file.text());
    } catch {
      setWrongFile(file.name);
      return;
    }
    // The engine checks each recipe against its schema; a single one may stand without its list.
    const given = (Array.isArray(parsed) ? parsed : [parsed]) as Parameters<typeof put.run>[0]['recipes'];
    if (await put.run({ recipes: given })) onTold(t('intake-ui.recipes.imported', { count: given.length }));
  };

  return (
    <section className="recipes" aria-labelledby="recipes-title">
      <h2 id="recipes-title">{t('intake-ui.recipes', {})}</h2>
      <p className="caption">
        {recipes.length === 0 ? t('intake-ui.recipes.none', {}) : t('intake-ui.recipes.note', {})}
      </p>
      <ul>
        {recipes.map((recipe) => (
          <RecipeItem key={recipe.fingerprint} recipe={recipe} />
        ))}
      </ul>
      <p className="row-of-links">
        {recipes.length > 0 ? (
          <Button kind="link" onPress={() => void exportAll()}>
            {t('intake-ui.recipes.export', {})}
          </Button>
        ) : null}
        <Button kind="link" onPress={() => input.current?.click()}>
          {t('intake-ui.recipes.import', {})}
        </Button>
      </p>
      <input
        ref={input}
        type="file"
        accept=".json,application/json"
        hidden
        tabIndex={-1}
        aria-hidden="true"
        onChange={(event) => {
          const file = event.target.files?.[0];
          event.target.value = '';
          if (file) void importFrom(file);
        }}
      />
      {wrongFile === null ? null : (
        <p className="problem" role="alert">
          {t('intake-ui.recipes.not-json', { name: wrongFile })}
        </p>
      )}
      <ProblemLine problem={list.problem ?? put.problem} />
    </section>
  );
}

function RecipeItem({ recipe }: { recipe: RecipeRow }): ReactNode {
  const rename = useCommand('recipe:rename');
  const remove = useCommand('recipe:delete');
  const [mode, setMode] = useState<'shown' | 'rename' | 'delete'>('shown');
  const [name, setName] = useState(recipe.name);
  return (
    <li className="queue-item">
      {mode === 'rename' ? (
        <form
          className="inline-form"
          onSubmit={(event) => {
            event.preventDefault();
            const given = name.trim();
            if (given === '') return;
            void rename.run({ fingerprint: recipe.fingerprint, name: given }).then((done) => {
              if (done) setMode('shown');
            });
          }}
        >
          <label>
            <span className="hidden">{t('intake-ui.recipes.new-name', {})}</span>
            <input type="text" value={name} onChange={(event) => setName(event.target.value)} />
          </label>
          <button type="submit" className="button" disabled={name.trim() === ''}>
            {t('ui.save', {})}
          </button>
          <Button kind="link" onPress={() => setMode('shown')}>
            {t('ui.cancel', {})}
          </Button>
        </form>
      ) : (
        <>
          <span className="file-name">{recipe.name}</span>
          <span className="state">
            <Sentence of={recipe.said} />; {t('intake-ui.recipes.used', { files: recipe.usedFiles })}
          </span>
          <span className="item-actions">
            <Button
              kind="link"
              label={t('intake-ui.recipes.rename-one', { name: recipe.name })}
              onPress={() => {
                setName(recipe.name);
                setMode('rename');
              }}
            >
              {t('intake-ui.recipes.rename', {})}
            </Button>
            <Button
              kind="link"
              label={t('intake-ui.recipes.delete-one', { name: recipe.name })}
              onPress={() => setMode('delete')}
            >
              {t('intake-ui.recipes.delete', {})}
            </Button>
          </span>
        </>
      )}
      {mode === 'delete' ? (
        <span className="sure">
          {t('intake-ui.recipes.delete-sure', { name: recipe.name })}
          <span className="row-of-links">
            <Button kind="you" onPress={() => void remove.run({ fingerprint: recipe.fingerprint })}>
              {t('intake-ui.recipes.delete', {})}
            </Button>
            <Button onPress={() => setMode('shown')}>{t('ui.cancel', {})}</Button>
          </span>
        </span>
      ) : null}
      <ProblemLine problem={rename.problem ?? remove.problem} />
    </li>
  );
}
