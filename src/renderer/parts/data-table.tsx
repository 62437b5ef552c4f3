import { type ReactNode, useEffect, useRef } from 'react';
import { useRoving } from './use-roving.ts';

export interface TableColumn<Row> {
  readonly id: string;
  readonly head: ReactNode;
  readonly cell: (row: Row, index: number) => ReactNode;
  /** Numbers are flush right. */
  readonly right?: boolean;
  /** CSS class of head and cells: `strong`, `muted`, a width of the screen's own. */
  readonly className?: string;
}

interface DataTableProps<Row> {
  /** Said to screen readers. */
  readonly label: string;
  readonly columns: readonly TableColumn<Row>[];
  readonly rows: readonly Row[];
  readonly keyOf: (row: Row) => string;
  /** Key of the selected row. Leave `onSelect` out for a table that is only read. */
  readonly selected?: string | null;
  readonly onSelect?: (key: string | null) => void;
  /** Enter or double click. */
  readonly onOpen?: (key: string) => void;
  readonly className?: string;
  /** An extra row under a row: a note being written. */
  readonly under?: (row: Row) => ReactNode;
  readonly empty?: ReactNode;
}

/** A plain table: hairlines, no stripes. When rows can be selected it is one tab stop, with arrows inside. */
export function DataTable<Row>(props: DataTableProps<Row>): ReactNode {
  const { label, columns, rows, keyOf, selected = null, onSelect, onOpen, className, under, empty } = props;
  const roving = useRoving(rows.length);
  const body = useRef<HTMLTableSectionElement>(null);
  const selectedAt = selected === null ? -1 : rows.findIndex((row) => keyOf(row) === selected);
  const { setAt } = roving;
  useEffect(() => {
    if (selectedAt < 0) return;
    setAt(selectedAt);
    body.current?.querySelector<HTMLElement>(`[data-roving="${selectedAt}"]`)?.scrollIntoView({ block: 'nearest' });
  }, [selectedAt, setAt]);
  if (rows.length === 0 && empty !== undefined) return <p className="caption">{empty}</p>;
  const selectable = onSelect !== undefined;
  return (
    <table
      className={className === undefined ? 'data' : `data ${className}`}
      aria-label={label}
      {...(selectable ? { role: 'grid' } : {})}
    >
      <thead>
        <tr>
          {columns.map((column) => (
            <th key={column.id} scope="col" className={`${column.right ? 'right ' : ''}${column.className ?? ''}`}>
              {column.head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody ref={body} onKeyDown={roving.onKeyDown}>
        {rows.map((row, index) => {
          const key = keyOf(row);
          const below = under?.(row);
          return [
            <tr
              key={key}
              {...(selectable
                ? {
                    'aria-selected': key === selected,
                    onClick: () => onSelect(key),
                    onDoubleClick: () => onOpen?.(key),
                    onKeyDown: (event) => {
                      if (event.target !== event.currentTarget) return;
                      if (event.key === 'Enter' && onOpen) {
                        event.preventDefault();
                        event.stopPropagation();
                        onSelect(key);
                        onOpen(key);
                      } else if (event.key === ' ') {
                        event.preventDefault();
                        onSelect(key);
                      }
                    },
                    ...roving.item(index),
                    onFocus: () => {
                      setAt(index);
                    },
                  }
                : {})}
            >
              {columns.map((column) => (
                <td key={column.id} className={`${column.right ? 'right ' : ''}${column.className ?? ''}`}>
                  {column.cell(row, index)}
                </td>
              ))}
            </tr>,
            below ? (
              <tr key={`${key} under`} className="under">
                <td colSpan={columns.length}>{below}</td>
              </tr>
            ) : null,
          ];
        })}
      </tbody>
    </table>
  );
}

/** The key of the row before or after the selected one; for J and K. */
export function neighbourKey<Row>(
  rows: readonly Row[],
  keyOf: (row: Row) => string,
  selected: string | null,
  direction: -1 | 1,
): string | null {
  if (rows.length === 0) return null;
  const at = rows.findIndex((row) => keyOf(row) === selected);
  const next =
    at < 0 ? (direction === 1 ? 0 : rows.length - 1) : Math.max(0, Math.min(rows.length - 1, at + direction));
  const row = rows[next];
  return row === undefined ? null : keyOf(row);
}
