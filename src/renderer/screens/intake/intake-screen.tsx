/**
 * Did everything in this file arrive, and was it understood?
 *
 * Left: where files come in, the queue, what was taken in, recipes. Right: the file that is open.
 */
import { type ReactNode, useEffect, useRef, useState } from 'react';
import type { ImportedSource, IntakeOutcome, IntakePreview, QueueItem } from '#core/contract/models/intake-model.ts';
import { said } from '#core/text/said.ts';
import { problemOf } from '../../bridge/problem-of.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { useCall, useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { useKeys } from '../../parts/keys.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Finding } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { changeView, useView } from '../../state/view.ts';
import { DropArea } from './drop-area.tsx';
import { droppedFiles } from './dropped-files.ts';
import { FilePreview } from './file-preview.tsx';
import { FilesHeld } from './files-held.tsx';
import { ImportedList } from './imported-list.tsx';
import { useIntakeRunner } from './intake-runner.ts';
import { QueueList } from './queue-list.tsx';
import { RecipeList } from './recipe-list.tsx';
import './intake.css';

const inboxTouches = { touches: ['inbox', 'readings', 'recipes', 'register'] } as const;
const pollMs = 700;

export default function IntakeScreen(): ReactNode {
  const bridge = useBridge();
  const view = useView();
  const { runner, state } = useIntakeRunner(bridge);
  const inbox = useCall('inbox:list', {}, 'inbox', inboxTouches);
  const accept = useCommand('inbox:accept');
  const drop = useCommand('inbox:drop');
  const demo = useDemo();
  const [over, setOver] = useState(false);

  const queue = inbox.value?.queue ?? [];
  const open = view.open.ticket ?? null;
  const item = queue.find((one) => one.ticket === open) ?? firstToShow(queue);
  const ticket = item?.ticket ?? null;
  const readable = item !== null && !['waiting', 'interrupted', 'taking-in'].includes(item.state);
  const preview = useCall('inbox:preview', readable ? { ticket: item.ticket } : null, 'intake-preview', inboxTouches);
  // While a file is read again with an answer, what was known of it stays; an unfinished preview comes first only.
  const kept = useRef<IntakePreview | null>(null);
  const fresh = preview.value?.ticket === ticket ? preview.value : null;
  if (fresh && (fresh.complete || kept.current?.ticket !== ticket || !kept.current.complete)) kept.current = fresh;
  const shown = kept.current !== null && kept.current.ticket === ticket ? kept.current : null;

  const lacksLines = readable && (shown === null || (!shown.complete && shown.firstLines.length === 0));

  const inboxAgain = inbox.again;
  const previewAgain = preview.again;
  // The engine announces commits; how a read stands is known to whoever asked for it.
  // biome-ignore lint/correctness/useExhaustiveDependencies: the round is the reason to ask again
  useEffect(() => {
    inboxAgain();
    previewAgain();
  }, [state.round, inboxAgain, previewAgain]);
  const working = state.reading !== null || queue.some((one) => one.state === 'reading' || one.state === 'taking-in');
  useEffect(() => {
    if (!working) return;
    const timer = setInterval(() => {
      inboxAgain();
      // Until the first lines are known there is nothing to look at.
      if (lacksLines) previewAgain();
    }, pollMs);
    return () => clearInterval(timer);
  }, [working, lacksLines, inboxAgain, previewAgain]);
  const waiting = queue.some((one) => one.state === 'waiting');
  useEffect(() => {
    if (waiting) runner.pump();
  }, [waiting, runner]);

  const select = (next: string): void => changeView({ open: { ...view.open, ticket: next } }, 'replace');
  const offer = async (files: readonly File[]): Promise<void> => {
    const tickets = await runner.offer(files);
    const [first] = tickets;
    // What was dropped is what the person wants to see, unless a question of another file is open before them.
    if (first !== undefined && item?.state !== 'needs-answer') select(first);
  };
  const acceptTickets = async (tickets: readonly string[], saveRecipe: boolean): Promise<void> => {
    const done = await accept.run({ tickets: [...tickets], saveRecipe });
    if (done) runner.tell(outcomeWords(done));
    inbox.again();
  };
  const step = (direction: 1 | -1): boolean => {
    const at = queue.findIndex((one) => one.ticket === ticket);
    const next = queue[at + direction];
    if (!next) return false;
    select(next.ticket);
    return true;
  };
  useKeys({ j: () => step(1), k: () => step(-1) });
  useDropTarget(setOver, (files) => void offer(files));

  const busy = accept.running || state.reading?.ticket === ticket || preview.stale;
  return (
    <div className={over ? 'intake over' : 'intake'}>
      <div className="intake-left">
        <DropArea over={over} sending={state.sending} onFiles={(files) => void offer(files)} />
        <QueueList
          queue={queue}
          selected={ticket}
          reading={state.reading}
          busy={accept.running}
          onSelect={select}
          onCancel={(one) => runner.cancel(one.ticket, one.name)}
          onReadAgain={(one) => void runner.readAgain(one.ticket, {})}
          onAcceptReady={(tickets) => void acceptTickets(tickets, false)}
        />
        <ImportedList imported={inbox.value?.imported ?? []} onTold={runner.tell} />
        <RecipeList recipes={inbox.value?.recipes ?? []} onTold={runner.tell} />
        {inbox.value?.watched ? (
          <p className="caption">{t('intake-ui.watched', { folder: inbox.value.watched })}</p>
        ) : null}
      </div>
      <div className="intake-main">
        <Waiting
          on={(preview.loading && readable && shown === null) || accept.running || demo.running}
          progress={preview.progress ?? demo.progress}
        />
        <p className="intake-told" role="status">
          {state.told}
        </p>
        <ProblemLine problem={state.problem ?? accept.problem ?? drop.problem ?? demo.problem} />
        <ProblemLine problem={inbox.problem} onAgain={inbox.again} />
        {item === null ? (
          inbox.value === null ? null : (
            <NothingWaits demo={demo} imported={inbox.value.imported} onTold={runner.tell} />
          )
        ) : shown && (shown.complete || shown.firstLines.length > 0) ? (
          <FilePreview
            preview={shown}
            item={item}
            busy={busy}
            onAnswers={(answers, also) => {
              void (async () => {
                await runner.readAgain(item.ticket, answers);
                for (const elsewhere of also?.tickets ?? []) {
                  const there = await bridge.call('inbox:preview', { ticket: elsewhere }).catch(() => null);
                  if (also && there) await runner.readAgain(elsewhere, { ...there.answers, [also.id]: also.value });
                }
              })();
            }}
            onAccept={(saveRecipe) => void acceptTickets([item.ticket], saveRecipe)}
            onLeaveAside={() => {
              void drop.run({ tickets: [item.ticket] }).then(() => inbox.again());
            }}
          />
        ) : (
          <>
            <ProblemLine problem={preview.problem} onAgain={preview.again} />
            <StillToCome
              item={item}
              onReadAgain={() => void runner.readAgain(item.ticket, {})}
              onLeaveAside={() => runner.cancel(item.ticket, item.name)}
            />
          </>
        )}
      </div>
    </div>
  );
}

/** What became of the files: the engine's own sentence for one, sums for several. */
function outcomeWords(outcomes: readonly IntakeOutcome[]): string {
  const [only] = outcomes;
  if (outcomes.length === 1 && only) return plain(only.said);
  const refused = outcomes.filter((one) => one.source === null);
  const sum = (of: (one: IntakeOutcome) => number): number => outcomes.reduce((total, one) => total + of(one), 0);
  return [
    t('intake-ui.accepted-many', {
      files: outcomes.length - refused.length,
      accepted: sum((one) => one.accepted),
      held: sum((one) => one.alreadyHeld),
      rejected: sum((one) => one.lines?.rejected ?? 0),
    }),
    ...refused.map((one) => `${one.file}: ${plain(one.said)}`),
  ].join(' ');
}

/** A file that asks comes before one that is ready, that before one that failed. */
function firstToShow(queue: readonly QueueItem[]): QueueItem | null {
  for (const state of [
    'needs-answer',
    'ready',
    'nothing-new',
    'reading',
    'failed',
    'interrupted',
    'waiting',
  ] as const) {
    const found = queue.find((item) => item.state === state);
    if (found) return found;
  }
  return queue[0] ?? null;
}

/** A file about which nothing can be shown yet. */
function StillToCome({
  item,
  onReadAgain,
  onLeaveAside,
}: {
  item: QueueItem;
  onReadAgain: () => void;
  onLeaveAside: () => void;
}): ReactNode {
  const name = item.name;
  if (item.state === 'interrupted') {
    return (
      <div className="finding-row">
        <Finding of={said('intake-ui.interrupted-file', { name })} />
        <div className="actions">
          <Button onPress={onLeaveAside}>{t('intake-ui.leave-aside', {})}</Button>
          <Button kind="go" onPress={onReadAgain}>
            {t('ui.again', {})}
          </Button>
        </div>
      </div>
    );
  }
  return (
    <Finding
      of={said(
        item.state === 'reading'
          ? 'intake-ui.reading-file'
          : item.state === 'taking-in'
            ? 'intake-ui.taking-in-file'
            : 'intake-ui.waiting-file',
        { name },
      )}
    />
  );
}

function NothingWaits({
  demo,
  imported,
  onTold,
}: {
  demo: ReturnType<typeof useDemo>;
  imported: Parameters<typeof FilesHeld>[0]['imported'];
  onTold: (words: string) => void;
}): ReactNode {
  if (imported.length === 0) {
    return (
      <div className="intake-first">
        <h1 className="hidden">{t('ui.screen.intake', {})}</h1>
        <EmptyState
          action={
            <Button kind="go" disabled={demo.running} onPress={demo.load}>
              {demo.running ? t('intake-ui.demo.loading', {}) : t('intake-ui.demo', {})}
            </Button>
          }
        >
          {t('intake-ui.empty', {})}
        </EmptyState>
        <p className="caption">{t('intake-ui.demo.about', {})}</p>
      </div>
    );
  }
  return (
    <>
      <div className="finding-row">
        <Finding of={said('intake-ui.all-in', inForce(imported))} />
        <div className="actions">
          <Button kind="go" onPress={() => changeView({ screen: 'review' })}>
            {t('intake-ui.go-review', {})}
          </Button>
        </div>
      </div>
      <p className="second intake-next">{t('intake-ui.all-in.next', {})}</p>
      <FilesHeld imported={imported} onTold={onTold} />
    </>
  );
}

/** Readings that are in force, and the files that show them: what an undone file alone showed is not. */
function inForce(imported: readonly ImportedSource[]): { readonly readings: number; readonly files: number } {
  let readings = 0;
  for (const file of imported) readings += file.accepted - (file.withdrawn ? file.onlyHere : 0);
  return { readings, files: imported.filter((file) => !file.withdrawn).length };
}

/** Fills the store with the invented plant. */
function useDemo(): {
  readonly running: boolean;
  readonly progress: ReturnType<typeof useCall>['progress'];
  readonly problem: ReturnType<typeof problemOf> | null;
  readonly load: () => void;
} {
  const bridge = useBridge();
  const [running, setRunning] = useState(false);
  const [progress, setProgress] = useState<ReturnType<typeof useCall>['progress']>(null);
  const [problem, setProblem] = useState<ReturnType<typeof problemOf> | null>(null);
  const load = (): void => {
    setRunning(true);
    setProblem(null);
    bridge
      .call('demo:load', {}, { onProgress: setProgress })
      .then(
        () => changeView({ period: null, driftPeriod: null }, 'replace'),
        (thrown: unknown) => setProblem(problemOf(thrown)),
      )
      .finally(() => {
        setRunning(false);
        setProgress(null);
      });
  };
  return { running, progress, problem, load };
}

/** Files may be dropped anywhere on the window while this screen is open. */
function useDropTarget(setOver: (over: boolean) => void, onFiles: (files: readonly File[]) => void): void {
  const take = useRef(onFiles);
  take.current = onFiles;
  useEffect(() => {
    let depth = 0;
    const hasFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') === true;
    const enter = (event: DragEvent): void => {
      if (!hasFiles(event)) return;
      depth += 1;
      setOver(true);
    };
    const leave = (event: DragEvent): void => {
      if (!hasFiles(event)) return;
      depth = Math.max(0, depth - 1);
      if (depth === 0) setOver(false);
    };
    const overIt = (event: DragEvent): void => {
      if (hasFiles(event)) event.preventDefault();
    };
    const dropped = (event: DragEvent): void => {
      if (!hasFiles(event) || !event.dataTransfer) return;
      event.preventDefault();
      depth = 0;
      setOver(false);
      void droppedFiles(event.dataTransfer).then((files) => take.current(files));
    };
    window.addEventListener('dragenter', enter);
    window.addEventListener('dragleave', leave);
    window.addEventListener('dragover', overIt);
    window.addEventListener('drop', dropped);
    return () => {
      window.removeEventListener('dragenter', enter);
      window.removeEventListener('dragleave', leave);
      window.removeEventListener('dragover', overIt);
      window.removeEventListener('drop', dropped);
      setOver(false);
    };
  }, [setOver]);
}
