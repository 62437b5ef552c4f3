import { useTable } from '@tanstack/react-table';
import { useVirtualizer } from '@tanstack/react-virtual';
import { type KeyboardEvent, type ReactNode, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { ReadingsFilter } from '#core/contract/calls.ts';
import type { ReadingsPage } from '#core/contract/models/readings-model.ts';
import type { Problem } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import { torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { makeProblem, problemOf } from '../../bridge/problem-of.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { useKeys } from '../../parts/keys.ts';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { Finding } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useMadeFile } from '../../parts/use-made-file.ts';
import { useSettings } from '../../state/settings.ts';
import { changeView, currentView, useView } from '../../state/view.ts';
import { NoteForm } from '../review/note-form.tsx';
import { columnOf, features, longest, readingsColumns, sortable, widths } from './columns.tsx';
import { mostCopied, rowsAsText } from './copy-rows.ts';
import { Drawer } from './drawer.tsx';
import { mutableScope } from './mutable-scope.ts';
import { NothingMatches } from './nothing-matches.tsx';
import { ReadingLine } from './reading-line.tsx';
import { ReadingsHead } from './readings-head.tsx';
import { AssignForm, LeaveOutForm } from './row-actions.tsx';
import { TableActions } from './table-actions.tsx';
import { pageSize, type Rows, type Sort } from './use-rows.ts';

/** Beyond this many rows a browser can no longer place them: an element has a greatest height. */
const mostRows = 1_000_000;
const rowHeights = { roomy: 32, normal: 26, compact: 22 } as const;

interface TableProps {
  readonly rows: Rows;
  readonly page: ReadingsPage;
  readonly sort: Sort;
  readonly onSort: (sort: Sort) => void;
  readonly onFilters: (filters: readonly ReadingsFilter[]) => void;
}

/** The rows that match, with cursor, selection and what can be done with them. */
export function ReadingsTable({ rows, page, sort, onSort, onFilters }: TableProps): ReactNode {
  const view = useView();
  const bridge = useBridge();
  const made = useMadeFile();
  const operator = useOperatorWords();
  const { density } = useSettings();
  const putBack = useCommand('mark:put-back');
  const [cursor, setCursor] = useState<number | null>(null);
  const [anchor, setAnchor] = useState<number | null>(null);
  const [writing, setWriting] = useState(false);
  const [form, setForm] = useState<{
    readonly kind: 'leave-out' | 'assign' | 'note';
    readonly ids: readonly string[];
  } | null>(null);
  const [told, setTold] = useState('');
  const [problem, setProblem] = useState<Problem | null>(null);
  const scroller = useRef<HTMLDivElement>(null);
  const rowHeight = rowHeights[density];
  const count = Math.min(page.total, mostRows);
  const drawer = view.reading;

  const virtual = useVirtualizer({
    count,
    getScrollElement: () => scroller.current,
    estimateSize: () => rowHeight,
    overscan: 12,
  });
  // biome-ignore lint/correctness/useExhaustiveDependencies: another row height means measuring again
  useEffect(() => virtual.measure(), [virtual, rowHeight]);
  const items = virtual.getVirtualItems();
  const firstShown = items[0]?.index ?? 0;
  const lastShown = items[items.length - 1]?.index ?? 0;
  useEffect(() => rows.want(firstShown, lastShown), [rows, firstShown, lastShown]);

  // The pages in view, not the rows: while scrolling inside them the table keeps its rows, and drawn rows stay drawn.
  const firstPage = rows.page(Math.floor(firstShown / pageSize));
  const lastPage = rows.page(Math.floor(lastShown / pageSize));
  const data = useMemo(
    () => [...(firstPage ?? []), ...(lastPage && lastPage !== firstPage ? lastPage : [])],
    [firstPage, lastPage],
  );
  const firstUnit = page.rows[0]?.unit;
  const unit = firstUnit && page.rows.every((row) => row.unit === firstUnit) ? torqueUnitSymbols[firstUnit] : '';
  const angleDecimals = page.rows.every((row) => row.angleDeg === null || Number.isInteger(row.angleDeg)) ? 0 : 1;
  const columns = useMemo(() => readingsColumns({ unit, angleDecimals, operator }), [unit, angleDecimals, operator]);
  const table = useTable({
    features,
    columns,
    data,
    getRowId: (row) => row.id,
    manualSorting: true,
    state: {
      sorting: sort.map((s) => ({ id: columnOf(s.column), desc: s.descending })),
      columnVisibility: { note: drawer === null },
    },
  });
  const visible = table.getVisibleLeafColumns().map((column) => column.id);
  // What is left goes to the column with the longest texts.
  const wide = visible.includes('note') ? 'note' : 'source';
  const track = (id: string): string => {
    const most = id === wide ? '1fr' : longest[id] === undefined ? null : `${longest[id]}px`;
    return most === null ? `${widths[id]}px` : `minmax(${widths[id]}px, ${most})`;
  };
  const template = visible.map(track).join(' ');
  // Narrower than this the table scrolls sideways.
  const leastWidth = visible.reduce((sum, id) => sum + (widths[id] ?? 0), 0);
  const modelRows = new Map(table.getRowModel().rows.map((row) => [row.id, row]));

  // A new question starts at its first row again.
  const question = JSON.stringify([view.filters, sort]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: the question is what is waited for
  useEffect(() => {
    setCursor(null);
    setAnchor(null);
    scroller.current?.scrollTo({ top: 0 });
  }, [question]);

  // A reading opened from another screen is shown among its rows, where the order allows to find it.
  const byTime = sort[0]?.column === 'at' && !sort[0].descending;
  const lookedFor = useRef<string | null>(null);
  useEffect(() => {
    if (drawer === null || cursor !== null || !byTime || lookedFor.current === `${drawer} ${question}`) return;
    lookedFor.current = `${drawer} ${question}`;
    rows.locate(drawer, count).then(
      (index) => {
        if (index === null) return;
        setCursor(index);
        setAnchor(index);
        virtual.scrollToIndex(index, { align: 'center' });
      },
      () => null,
    );
  }, [drawer, cursor, byTime, question, rows, count, virtual]);

  const range: readonly [number, number] | null =
    cursor === null ? null : [Math.min(cursor, anchor ?? cursor), Math.max(cursor, anchor ?? cursor)];
  const selectedCount = range ? range[1] - range[0] + 1 : 0;

  const move = (to: number, extend: boolean): void => {
    const next = Math.max(0, Math.min(count - 1, to));
    if (count === 0) return;
    setAnchor(extend ? (anchor ?? cursor ?? next) : next);
    setCursor(next);
    virtual.scrollToIndex(next);
    const row = rows.row(next);
    if (drawer !== null && row) changeView({ reading: row.id }, 'replace');
  };
  const open = (): unknown => {
    const row = cursor === null ? null : rows.row(cursor);
    if (!row) return false;
    changeView({ reading: row.id }, 'replace');
    return true;
  };
  const selectedIds = async (): Promise<readonly string[]> =>
    range ? (await rows.fetch(range[0], range[1] + 1)).map((row) => row.id) : [];

  const copy = async (): Promise<void> => {
    setProblem(null);
    const [from, to] = range ? [range[0], range[1] + 1] : [0, page.total];
    if (to - from > mostCopied) {
      setProblem(
        makeProblem('refused-input', said('ui.readings.copy-too-many', { count: to - from, most: mostCopied })),
      );
      return;
    }
    try {
      const some = await rows.fetch(from, to);
      await navigator.clipboard.writeText(rowsAsText(some, operator));
      setTold(t('ui.readings.copied', { count: some.length }));
    } catch (thrown) {
      setProblem(
        thrown instanceof DOMException
          ? makeProblem('no-permission', said('ui.readings.copy-refused', {}))
          : problemOf(thrown),
      );
    }
  };
  const exportCsv = (): void =>
    made.make(() => bridge.call('readings:csv', { scope: mutableScope(), filters: [...currentView().filters] }));
  const leaveOut = async (): Promise<void> => {
    const row = cursor === null ? null : rows.row(cursor);
    const ids = await selectedIds();
    if (ids.length === 0) return;
    if (row?.leftOut != null) await putBack.run({ readings: [...ids] });
    else setForm({ kind: 'leave-out', ids });
  };

  const noteSeveral = (): boolean => {
    void selectedIds().then((ids) => setForm({ kind: 'note', ids }));
    return true;
  };

  useKeys({
    j: () => move((cursor ?? -1) + 1, false),
    k: () => move((cursor ?? 1) - 1, false),
    enter: open,
    n: () => {
      // Several rows: one note for all of them, written above the table.
      if (selectedCount > 1) return noteSeveral();
      if (drawer === null && open() === false) return false;
      setWriting(true);
      return true;
    },
    x: () => (range ? void leaveOut() : false),
    e: exportCsv,
    d: () => {
      const tool = cursor === null ? null : (rows.row(cursor)?.tool ?? null);
      return tool === null ? false : changeView({ screen: 'drift', tool });
    },
    s: () => {
      const joint = cursor === null ? null : (rows.row(cursor)?.joint ?? null);
      return joint === null ? false : changeView({ screen: 'study', joint });
    },
    r: () => false,
    escape: () => {
      if (form) setForm(null);
      else if (writing) setWriting(false);
      else if (cursor !== null && drawer === null) {
        setCursor(null);
        setAnchor(null);
      } else return false;
      return true;
    },
  });

  const onGridKey = (event: KeyboardEvent<HTMLDivElement>): void => {
    const perPage = Math.max(1, Math.floor((scroller.current?.clientHeight ?? 400) / rowHeight) - 1);
    const from = cursor ?? -1;
    if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 'c') {
      if (window.getSelection()?.toString()) return;
      void copy();
    } else if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 'a') {
      setAnchor(0);
      setCursor(count - 1);
    } else if (event.ctrlKey || event.metaKey || event.altKey) return;
    else if (event.key === 'ArrowDown') move(from + 1, event.shiftKey);
    else if (event.key === 'ArrowUp') move(Math.max(0, from - 1), event.shiftKey);
    else if (event.key === 'PageDown') move(from + perPage, event.shiftKey);
    else if (event.key === 'PageUp') move(from - perPage, event.shiftKey);
    else if (event.key === 'Home') move(0, event.shiftKey);
    else if (event.key === 'End') move(count - 1, event.shiftKey);
    else return;
    event.preventDefault();
  };

  // Handed to memoised rows: the functions stay, what they do is renewed.
  const doing = useRef({ move, open });
  doing.current = { move, open };
  const press = useCallback((index: number, extend: boolean) => doing.current.move(index, extend), []);
  const openRow = useCallback((id: string) => changeView({ reading: id }, 'replace'), []);

  const sortBy = (id: string, second: boolean): void => {
    const column = sortable[id];
    if (!column) return;
    const old = sort.find((s) => s.column === column);
    const next = { column, descending: old ? !old.descending : false };
    const [first] = sort;
    onSort(second && first && first.column !== column ? [first, next] : [next]);
  };

  return (
    <>
      <div className="finding-row">
        <Finding of={page.sentence} />
        <TableActions
          selected={selectedCount}
          leftOut={cursor !== null && rows.row(cursor)?.leftOut != null}
          total={page.total}
          exporting={made.running}
          onLeaveOut={() => void leaveOut()}
          onNote={noteSeveral}
          onAssign={() => void selectedIds().then((ids) => setForm({ kind: 'assign', ids }))}
          onCopy={() => void copy()}
          onExport={exportCsv}
        />
      </div>
      <p className="hidden" role="status">
        {told}
      </p>
      <ProblemLine problem={problem ?? made.problem ?? putBack.problem} />
      {form?.kind === 'leave-out' ? <LeaveOutForm readings={form.ids} onDone={() => setForm(null)} /> : null}
      {form?.kind === 'assign' ? <AssignForm readings={form.ids} onDone={() => setForm(null)} /> : null}
      {form?.kind === 'note' ? (
        <div className="row-note">
          <NoteForm readings={form.ids} onDone={() => setForm(null)} />
        </div>
      ) : null}
      <div className={drawer === null ? 'readings-body' : 'readings-body with-drawer'}>
        <div className="readings-scroll" ref={scroller}>
          {/* biome-ignore lint/a11y/useSemanticElements: virtual rows cannot be laid out as a table element */}
          <div
            role="grid"
            aria-label={t('ui.readings.table', {})}
            aria-rowcount={page.total + 1}
            aria-multiselectable="true"
            tabIndex={0}
            className="readings-grid"
            style={{ minWidth: leastWidth }}
            {...(cursor !== null && rows.row(cursor) ? { 'aria-activedescendant': `row-${cursor}` } : {})}
            onKeyDown={onGridKey}
          >
            <ReadingsHead
              template={template}
              table={table}
              page={page}
              filters={view.filters}
              sort={sort}
              onSort={sortBy}
              onFilters={onFilters}
              operator={operator}
            />
            {/* biome-ignore lint/a11y/useSemanticElements: as above */}
            <div role="rowgroup" className="readings-rows" style={{ height: virtual.getTotalSize() }}>
              {items.map((item) => {
                const row = rows.row(item.index);
                return (
                  <ReadingLine
                    key={item.index}
                    index={item.index}
                    model={(row ? modelRows.get(row.id) : undefined) ?? null}
                    cells={visible.length}
                    template={template}
                    top={item.start}
                    height={item.size}
                    selected={range !== null && item.index >= range[0] && item.index <= range[1]}
                    cursor={item.index === cursor}
                    onPress={press}
                    onOpen={openRow}
                  />
                );
              })}
            </div>
          </div>
          {page.empty ? <NothingMatches page={page} filters={view.filters} onFilters={onFilters} /> : null}
        </div>
        {drawer === null ? null : (
          <Drawer
            id={drawer}
            writing={writing}
            onWrite={setWriting}
            onClose={() => {
              setWriting(false);
              changeView({ reading: null }, 'replace');
            }}
          />
        )}
      </div>
      {page.total > mostRows ? (
        <p className="caption">{t('ui.readings.beyond', { shown: mostRows, of: page.total })}</p>
      ) : null}
    </>
  );
}
