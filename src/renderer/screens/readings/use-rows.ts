import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { ReadingsFilter, RequestInput } from '#core/contract/calls.ts';
import type { ReadingsPage } from '#core/contract/models/readings-model.ts';
import type { ReadingRow } from '#core/contract/models/shared.ts';
import type { Scope } from '#core/readings/scope.ts';
import { useBridge } from '../../bridge/use-bridge.ts';
import { type Called, useCall } from '../../bridge/use-call.ts';

export const pageSize = 200;
const keptPages = 30;

export type Sort = RequestInput<'readings:page'>['sort'];

export interface Rows {
  readonly first: Called<ReadingsPage>;
  /** The row, or null while its page is on its way. */
  row(index: number): ReadingRow | null;
  /** The rows of a page; the same array each time while it is held. */
  page(page: number): readonly ReadingRow[] | null;
  /** Tells which rows are in view, so that their pages are fetched. */
  want(from: number, to: number): void;
  /** All rows of a stretch, fetched where they are not held; for copying. */
  fetch(from: number, to: number): Promise<ReadingRow[]>;
  /** Index of a reading in rows sorted by rising time; null: not among them. */
  locate(id: string, total: number): Promise<number | null>;
}

/** The rows of a question, by pages: the first comes with counts, sentence and pictures, the others when scrolled to. */
export function useRows(scope: Scope | null, filters: readonly ReadingsFilter[], sort: Sort): Rows {
  const bridge = useBridge();
  // The parts are small plain data made anew on every drawing: their text tells whether they changed.
  const key = scope ? JSON.stringify({ scope, filters, sort }) : null;
  const question = useMemo(() => (key === null ? null : (JSON.parse(key) as Question)), [key]);
  const first = useCall(
    'readings:page',
    question ? { ...mutable(question), offset: 0, limit: pageSize, withPictures: true } : null,
    'readings first',
  );
  const pages = useRef(new Map<number, readonly ReadingRow[]>());
  const asked = useRef(new Set<number>());
  const [, redraw] = useState(0);
  const firstValue = first.value;
  const current = useRef(question);

  useEffect(() => {
    pages.current = new Map();
    asked.current = new Set();
    current.current = question;
    if (firstValue && !first.stale) pages.current.set(0, firstValue.rows);
    redraw((n) => n + 1);
  }, [firstValue, first.stale, question]);

  const want = useCallback(
    (from: number, to: number) => {
      if (!question) return;
      for (let page = Math.floor(from / pageSize); page <= Math.floor(to / pageSize); page += 1) {
        if (page === 0 || pages.current.has(page) || asked.current.has(page)) continue;
        asked.current.add(page);
        bridge
          .call(
            'readings:page',
            { ...mutable(question), offset: page * pageSize, limit: pageSize },
            { lane: `readings page ${page}` },
          )
          .then(
            (reply) => {
              asked.current.delete(page);
              if (current.current !== question) return;
              pages.current.set(page, reply.rows);
              for (const old of pages.current.keys()) {
                if (pages.current.size <= keptPages) break;
                if (old !== 0 && Math.abs(old - page) > keptPages / 2) pages.current.delete(old);
              }
              redraw((n) => n + 1);
            },
            () => asked.current.delete(page),
          );
      }
    },
    [bridge, question],
  );
  const row = useCallback(
    (index: number) => pages.current.get(Math.floor(index / pageSize))?.[index % pageSize] ?? null,
    [],
  );
  const page = useCallback((index: number) => pages.current.get(index) ?? null, []);
  const fetch = useCallback(
    async (from: number, to: number) => {
      const out: ReadingRow[] = [];
      if (!question) return out;
      for (let offset = from; offset < to; offset += 1000) {
        const limit = Math.min(1000, to - offset);
        out.push(...(await bridge.call('readings:page', { ...mutable(question), offset, limit })).rows);
      }
      return out;
    },
    [bridge, question],
  );
  const locate = useCallback(
    async (id: string, total: number) => {
      const { at } = (await bridge.call('readings:detail', { id })).row;
      let low = 0;
      let high = total;
      // First row at or after the time; readings without one come last.
      while (low < high) {
        const middle = (low + high) >> 1;
        const there = (await fetch(middle, middle + 1))[0]?.at ?? null;
        if (at !== null && there !== null && there < at) low = middle + 1;
        else if (at === null && there !== null) low = middle + 1;
        else high = middle;
      }
      const near = await fetch(low, Math.min(total, low + pageSize));
      const found = near.findIndex((one) => one.id === id);
      return found < 0 ? null : low + found;
    },
    [bridge, fetch],
  );
  return useMemo(() => ({ first, row, page, want, fetch, locate }), [first, row, page, want, fetch, locate]);
}

interface Question {
  readonly scope: Scope;
  readonly filters: ReadingsFilter[];
  readonly sort: Sort;
}

/** The request's schema wants arrays it may own. */
function mutable(question: Question): Pick<RequestInput<'readings:page'>, 'scope' | 'filters' | 'sort'> {
  const { scope } = question;
  return {
    ...question,
    scope: {
      ...scope,
      shifts: [...scope.shifts],
      joints: [...scope.joints],
      tools: [...scope.tools],
      operators: [...scope.operators],
    },
  };
}
