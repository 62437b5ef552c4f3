import { FlexRender, type Row, useTable } from '@tanstack/react-table';
import { useVirtualizer } from '@tanstack/react-virtual';
import { type KeyboardEvent, memo, type ReactNode, useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { ReadingsFilter } from '#core/contract/calls.ts';
import type { ReadingsPage, ReadingsPictures } from '#core/contract/models/readings-model.ts';
import type { ReadingRow } from '#core/contract/models/shared.ts';
import type { Problem } from '#core/contract/problems.ts';
import { said } from '#core/text/said.ts';
import { torqueUnitSymbols } from '#core/units/torque-unit.ts';
import { makeProblem, problemOf } from '../../bridge/problem-of.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { useCommand } from '../../bridge/use-call.ts';
import { Button } from '../../parts/button.tsx';
import { Chip } from '../../parts/chip.tsx';
import { EmptyState } from '../../parts/empty-state.tsx';
import { useKeys } from '../../parts/keys.ts';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { ScopeBar } from '../../parts/scope-bar.tsx';
import { Finding, Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { useMadeFile } from '../../parts/use-made-file.ts';
import { useRoving } from '../../parts/use-roving.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { useSettings } from '../../state/settings.ts';
import { useStatus } from '../../state/use-status.ts';
import { changeView, currentView, narrowScope, useView } from '../../state/view.ts';
import { NoteForm } from '../review/note-form.tsx';
import { features, readingsColumns, rightAligned, sortable, widths } from './columns.tsx';
import { mostCopied, rowsAsText } from './copy-rows.ts';
import { Drawer } from './drawer.tsx';
import { NamesPicture, RangePicture } from './filter-pictures.tsx';
import { namesFilter, namesOf, type RangeColumn, rangeOf, withFilter } from './filter-state.ts';
import './readings.css';
import { AssignForm, LeaveOutForm } from './row-actions.tsx';
import { pageSize, type Rows, type Sort, useRows } from './use-rows.ts';

/** Beyond this many rows a browser can no longer place them: an element has a greatest height. */
const mostRows = 1_000_000;
const rowHeights = { roomy: 32, normal: 26, compact: 22 } as const;

/** Show me the rows. */
export default function ReadingsScreen(): ReactNode {
  const view = useView();
  const status = useStatus();
  const [sort, setSort] = useState<Sort>([{ column: 'at', descending: false }]);
  const scope = view.period ? narrowScope(view) : null;
  const rows = useRows(scope, view.filters, sort);
  const page = rows.first.value;

  const setFilters = useCallback((filters: readonly ReadingsFilter[]) => changeView({ filters, reading: null }), []);
  const clearLast = (): unknown => {
    const { filters } = currentView();
    if (filters.length === 0) return false;
    setFilters(filters.slice(0, -1));
    return true;
  };
  useKeys({ escape: clearLast });

  return (
    <>
      <ScopeBar end={view.filters.length > 0 ? t('ui.readings.esc', {}) : undefined}>
        <span className="scope-group">
          {view.filters.map((filter, index) => {
            const words = page?.filterWords[index];
            if (!words || rows.first.stale) return null;
            return (
              <Chip
                key={filter.column}
                removeLabel={plain(words)}
                onRemove={() => setFilters(view.filters.filter((_, other) => other !== index))}
              >
                <Sentence of={words} />
              </Chip>
            );
          })}
        </span>
      </ScopeBar>
      <div className="screen readings">
        <Waiting
          on={scope !== null && rows.first.loading}
          progress={rows.first.progress}
          onCancel={rows.first.cancel}
        />
        <ProblemLine problem={rows.first.problem} onAgain={rows.first.again} />
        {status && status.readings === 0 && !status.loading ? (
          <EmptyState
            action={
              <Button kind="go" onPress={() => changeView({ screen: 'intake' })}>
                {t('ui.empty.go-intake', {})}
              </Button>
            }
          >
            {t('ui.empty.no-readings', {})}
          </EmptyState>
        ) : page ? (
          <Table rows={rows} page={page} sort={sort} onSort={setSort} onFilters={setFilters} />
        ) : null}
      </div>
    </>
  );
}

interface TableProps {
  readonly rows: Rows;
  readonly page: ReadingsPage;
  readonly sort: Sort;
  readonly onSort: (sort: Sort) => void;
  readonly onFilters: (filters: readonly ReadingsFilter[]) => void;
}

function Table({ rows, page, sort, onSort, onFilters }: TableProps): ReactNode {
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
  const template = visible.map((id) => (id === wide ? `minmax(${widths[id]}px, 1fr)` : `${widths[id]}px`)).join(' ');
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
        <div className="actions">
          {selectedCount > 0 ? (
            <>
              <Button keyName="X" onPress={() => void leaveOut()}>
                {cursor !== null && rows.row(cursor)?.leftOut != null
                  ? t('ui.readings.put-back', {})
                  : t('ui.readings.leave-out', {})}
              </Button>
              {selectedCount > 1 ? (
                <Button keyName="N" onPress={noteSeveral}>
                  {t('ui.readings.note-several', { count: selectedCount })}
                </Button>
              ) : null}
              <Button onPress={() => void selectedIds().then((ids) => setForm({ kind: 'assign', ids }))}>
                {t('ui.readings.assign', {})}
              </Button>
            </>
          ) : null}
          <Button keyName="Ctrl C" onPress={() => void copy()} disabled={page.total === 0}>
            {selectedCount > 0 ? t('ui.readings.copy-some', { count: selectedCount }) : t('ui.readings.copy', {})}
          </Button>
          <Button keyName="E" onPress={exportCsv} disabled={page.total === 0 || made.running}>
            {t('ui.readings.export', {})}
          </Button>
        </div>
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
            {...(cursor !== null && rows.row(cursor) ? { 'aria-activedescendant': `row-${cursor}` } : {})}
            onKeyDown={onGridKey}
          >
            <Head
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

interface ReadingLineProps {
  readonly index: number;
  /** Null while its page is on its way. */
  readonly model: Row<typeof features, ReadingRow> | null;
  /** Number of visible cells: a change means that columns came or went. */
  readonly cells: number;
  readonly template: string;
  readonly top: number;
  readonly height: number;
  readonly selected: boolean;
  readonly cursor: boolean;
  readonly onPress: (index: number, extend: boolean) => void;
  readonly onOpen: (id: string) => void;
}

/** One row, drawn once and then only moved. */
const ReadingLine = memo(function ReadingLine(props: ReadingLineProps): ReactNode {
  const { index, model, template, top, height, selected, cursor, onPress, onOpen } = props;
  return (
    // biome-ignore lint/a11y/useFocusableInteractive: the grid has the focus, by aria-activedescendant
    // biome-ignore lint/a11y/useSemanticElements: virtual rows cannot be laid out as a table element
    // biome-ignore lint/a11y/useKeyWithClickEvents: the keys are the grid's
    <div
      id={`row-${index}`}
      role="row"
      aria-rowindex={index + 2}
      aria-selected={selected}
      className={`reading-row${cursor ? ' cursor' : ''}${model?.original.leftOut == null ? '' : ' left-out'}`}
      style={{ gridTemplateColumns: template, height, transform: `translateY(${top}px)` }}
      onClick={(event) => onPress(index, event.shiftKey)}
      onDoubleClick={() => model && onOpen(model.id)}
    >
      {model ? (
        model.getVisibleCells().map((cell) => (
          // biome-ignore lint/a11y/useFocusableInteractive: rows are the unit of moving here
          // biome-ignore lint/a11y/useSemanticElements: as above
          <div key={cell.id} role="gridcell" className={rightAligned.has(cell.column.id) ? 'cell right' : 'cell'}>
            <FlexRender cell={cell} />
          </div>
        ))
      ) : (
        // biome-ignore lint/a11y/useFocusableInteractive: as above
        // biome-ignore lint/a11y/useSemanticElements: as above
        <div role="gridcell" className="cell muted">
          {t('ui.readings.loading', {})}
        </div>
      )}
    </div>
  );
});

function mutableScope() {
  const scope = narrowScope(currentView());
  return {
    ...scope,
    shifts: [...scope.shifts],
    joints: [...scope.joints],
    tools: [...scope.tools],
    operators: [...scope.operators],
  };
}

const columnOf = (column: Sort[number]['column']): string =>
  Object.entries(sortable).find(([, name]) => name === column)?.[0] ?? 'time';

function NothingMatches({
  page,
  filters,
  onFilters,
}: {
  page: ReadingsPage;
  filters: readonly ReadingsFilter[];
  onFilters: (filters: readonly ReadingsFilter[]) => void;
}): ReactNode {
  if (!page.empty) return null;
  return (
    <EmptyState
      action={page.empty.without.map((one) => (
        <Button key={one.filter} onPress={() => onFilters(filters.filter((_, index) => index !== one.filter))}>
          {plain(one.said)}
        </Button>
      ))}
    >
      <Sentence of={page.empty.said} />
    </EmptyState>
  );
}

interface HeadProps {
  readonly template: string;
  readonly table: ReturnType<typeof useTable<typeof features, ReadingRow>>;
  readonly page: ReadingsPage;
  readonly filters: readonly ReadingsFilter[];
  readonly sort: Sort;
  readonly onSort: (id: string, second: boolean) => void;
  readonly onFilters: (filters: readonly ReadingsFilter[]) => void;
  readonly operator: (badge: string | null, name: string | null) => string;
}

/** Pictures that filter, then the heads that sort. */
function Head({ template, table, page, filters, sort, onSort, onFilters, operator }: HeadProps): ReactNode {
  const ids = table.getVisibleLeafColumns().map((column) => column.id);
  const filtered = ids.filter((id) => pictureOf(page.pictures, id));
  const pictures = useRoving(filtered.length, 'horizontal');
  const heads = useRoving(ids.length, 'horizontal');
  return (
    // biome-ignore lint/a11y/useSemanticElements: virtual rows cannot be laid out as a table element
    <div role="rowgroup" className="readings-head">
      {/* biome-ignore lint/a11y/useSemanticElements: as above */}
      {/* biome-ignore lint/a11y/useFocusableInteractive: its buttons are focused */}
      <div role="row" className="filter-row" style={{ gridTemplateColumns: template }} onKeyDown={pictures.onKeyDown}>
        {ids.map((id) => (
          // biome-ignore lint/a11y/useSemanticElements: as above
          // biome-ignore lint/a11y/useFocusableInteractive: its button is focused
          <div key={id} role="gridcell" className="cell">
            {picture(id, filtered.indexOf(id))}
          </div>
        ))}
      </div>
      {/* biome-ignore lint/a11y/useSemanticElements: as above */}
      {/* biome-ignore lint/a11y/useFocusableInteractive: its buttons are focused */}
      <div role="row" className="head-row" style={{ gridTemplateColumns: template }} onKeyDown={heads.onKeyDown}>
        {table.getFlatHeaders().map((header, index) => {
          const id = header.column.id;
          const column = sortable[id];
          const at = column ? sort.findIndex((s) => s.column === column) : -1;
          const one = sort[at];
          return (
            // biome-ignore lint/a11y/useSemanticElements: as above
            // biome-ignore lint/a11y/useFocusableInteractive: its button is focused
            <div
              key={header.id}
              role="columnheader"
              className={rightAligned.has(id) ? 'cell right' : 'cell'}
              {...(one ? { 'aria-sort': one.descending ? ('descending' as const) : ('ascending' as const) } : {})}
            >
              {column ? (
                <button type="button" onClick={(event) => onSort(id, event.shiftKey)} {...heads.item(index)}>
                  <table.FlexRender header={header} />
                  {one ? (
                    <span aria-hidden="true">
                      {one.descending ? ' ↓' : ' ↑'}
                      {sort.length > 1 ? <sub>{at + 1}</sub> : null}
                    </span>
                  ) : null}
                </button>
              ) : (
                <table.FlexRender header={header} />
              )}
            </div>
          );
        })}
      </div>
    </div>
  );

  function picture(id: string, index: number): ReactNode {
    const { pictures: all } = page;
    if (!all || index < 0) return null;
    const rove = pictures.item(index);
    const range = (column: RangeColumn, kind: 'number' | 'time', decimals: number, label: string): ReactNode => {
      const one = all[column];
      return one ? (
        <RangePicture
          picture={one}
          label={label}
          width={(widths[id] ?? 60) - 10}
          kind={kind}
          decimals={decimals}
          value={rangeOf(filters, column)}
          onChange={(value) => onFilters(withFilter(filters, column, value ? { column, ...value } : null))}
          rove={rove}
        />
      ) : null;
    };
    const names = (
      column: 'joint' | 'tool' | 'operator' | 'source' | 'verdict' | 'ownResult',
      label: string,
      inAll: (count: number) => string,
      words?: (name: string, text: string) => string,
    ): ReactNode => (
      <NamesPicture
        picture={all[column]}
        label={label}
        chosen={namesOf(filters, column)}
        onChange={(chosen) => onFilters(withFilter(filters, column, namesFilter(column, chosen)))}
        rove={rove}
        all={inAll}
        short={column === 'verdict'}
        {...(words ? { words } : {})}
      />
    );
    switch (id) {
      case 'mark':
        return names('verdict', t('ui.readings.head.mark', {}), () => t('ui.readings.filter.all', {}));
      case 'time':
        return range('at', 'time', 0, t('ui.readings.head.time', {}));
      case 'joint':
        return names('joint', t('ui.readings.head.joint', {}), (count) => t('ui.readings.filter.joints', { count }));
      case 'tool':
        return names('tool', t('ui.readings.head.tool', {}), (count) => t('ui.readings.filter.tools', { count }));
      case 'operator':
        return names(
          'operator',
          t('ui.readings.head.operator', {}),
          (count) => t('ui.readings.filter.operators', { count }),
          (name, label) => (label === name ? name : operator(name, label.replace(` (${name})`, ''))),
        );
      case 'torque':
        return range('torque', 'number', 2, t('ui.readings.head.torque', { unit: '' }));
      case 'torquePlace':
        return range('torquePlace', 'number', 2, t('ui.readings.head.torquePlace', {}));
      case 'angle':
        return range('angle', 'number', 0, t('ui.readings.head.angle', {}));
      case 'anglePlace':
        return range('anglePlace', 'number', 2, t('ui.readings.head.anglePlace', {}));
      case 'ownResult':
        return names('ownResult', t('ui.readings.head.ownResult', {}), (count) =>
          t('ui.readings.filter.kinds', { count }),
        );
      case 'attempt':
        return range('attempt', 'number', 0, t('ui.readings.head.attempt', {}));
      case 'source':
        return names('source', t('ui.readings.head.source', {}), (count) => t('ui.readings.filter.sources', { count }));
      default:
        return null;
    }
  }
}

/** Whether a column has a picture to filter by. */
function pictureOf(pictures: ReadingsPictures | null, id: string): boolean {
  if (!pictures) return false;
  switch (id) {
    case 'mark':
    case 'joint':
    case 'tool':
    case 'operator':
    case 'ownResult':
    case 'source':
      return true;
    case 'time':
      return pictures.at !== null;
    case 'torque':
    case 'torquePlace':
    case 'angle':
    case 'anglePlace':
    case 'attempt':
      return pictures[id] !== null;
    default:
      return false;
  }
}
