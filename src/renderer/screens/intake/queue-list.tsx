import type { ReactNode } from 'react';
import type { QueueItem } from '#core/contract/models/intake-model.ts';
import { Button } from '../../parts/button.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useRoving } from '../../parts/use-roving.ts';
import type { RunnerState } from './intake-runner.ts';

interface QueueListProps {
  readonly queue: readonly QueueItem[];
  readonly selected: string | null;
  readonly reading: RunnerState['reading'];
  readonly onSelect: (ticket: string) => void;
  readonly onCancel: (item: QueueItem) => void;
  readonly onReadAgain: (item: QueueItem) => void;
  readonly onAcceptReady: (tickets: readonly string[]) => void;
  readonly busy: boolean;
}

/** Files that wait, are read, or need a person. */
export function QueueList(props: QueueListProps): ReactNode {
  const { queue, selected, reading, onSelect, onCancel, onReadAgain, onAcceptReady, busy } = props;
  const roving = useRoving(queue.length);
  const ready = queue.filter((item) => item.state === 'ready' || item.state === 'nothing-new');
  return (
    <section className="queue" aria-labelledby="queue-title">
      <h2 id="queue-title">
        {t('intake-ui.queue', {})}
        <span className="note">{queue.length > 0 ? t('intake-ui.files', { count: queue.length }) : ''}</span>
      </h2>
      {queue.length === 0 ? <p className="caption">{t('intake-ui.queue.empty', {})}</p> : null}
      {ready.length > 1 ? (
        <Button
          disabled={busy} // The newest stands first; taken in are they in the order in which they were offered.
          onPress={() => onAcceptReady(ready.map((item) => item.ticket).reverse())}
        >
          {t('intake-ui.accept-ready', { count: ready.length })}
        </Button>
      ) : null}
      <ul onKeyDown={roving.onKeyDown}>
        {queue.map((item, index) => {
          const running = reading?.ticket === item.ticket || item.state === 'reading';
          const share = shareOf(item, reading);
          return (
            <li key={item.ticket} className={`queue-item ${item.state}${item.ticket === selected ? ' on' : ''}`}>
              <button
                type="button"
                className="queue-open"
                aria-current={item.ticket === selected}
                onClick={() => onSelect(item.ticket)}
                {...roving.item(index)}
              >
                <span className="file-name">{item.name}</span>
                <span className="state">{stateWords(item, reading)}</span>
              </button>
              {running ? (
                <Button
                  kind="link"
                  label={t('intake-ui.cancel-reading', { name: item.name })}
                  onPress={() => onCancel(item)}
                >
                  {t('ui.cancel', {})}
                </Button>
              ) : item.state === 'failed' || item.state === 'interrupted' ? (
                <Button
                  kind="link"
                  label={t('intake-ui.read-again', { name: item.name })}
                  onPress={() => onReadAgain(item)}
                >
                  {t('ui.again', {})}
                </Button>
              ) : null}
              {running && share !== null ? (
                <svg className="queue-progress" width="100%" height="3" aria-hidden="true">
                  <rect width={`${100 * share}%`} height="3" />
                </svg>
              ) : null}
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function shareOf(item: QueueItem, reading: RunnerState['reading']): number | null {
  if (reading?.ticket === item.ticket && reading.progress && reading.progress.total) {
    return Math.min(1, reading.progress.done / reading.progress.total);
  }
  return item.progress && item.progress.total > 0 ? Math.min(1, item.progress.done / item.progress.total) : null;
}

function stateWords(item: QueueItem, reading: RunnerState['reading']): ReactNode {
  const share = shareOf(item, reading);
  const mine = reading?.ticket === item.ticket;
  if (mine || item.state === 'reading') {
    if (item.progress && item.progress.lines > 0 && share !== null) {
      return t('intake-ui.state.reading-lines', { lines: item.progress.lines, percent: Math.floor(share * 100) });
    }
    return share === null
      ? t('intake-ui.state.reading', {})
      : t('intake-ui.state.reading-percent', { percent: Math.floor(share * 100) });
  }
  if (item.state === 'needs-answer') return t('intake-ui.state.needs-answer', { count: item.questions });
  if (item.said) return <Sentence of={item.said} />;
  if (item.state === 'ready' && item.lines) {
    return t('intake-ui.state.ready', { lines: item.lines.total, accepted: item.lines.accepted });
  }
  return t(`intake-ui.state.${item.state === 'ready' ? 'waiting' : item.state}`, {});
}
