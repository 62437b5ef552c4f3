import { type ReactNode, useState } from 'react';
import type { IntakePreview, PreviewLine, RoleRow } from '#core/contract/models/intake-model.ts';
import type { AccountingPart } from '#core/figures/accounting-parts.ts';
import type { Role } from '#core/intake/vocabulary.ts';
import { Button } from '../../parts/button.tsx';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { plain, t } from '../../parts/text.ts';
import { QuotedLines } from './quoted-lines.tsx';
import { roleClass } from './role-look.ts';

interface HowItWasReadProps {
  readonly preview: IntakePreview;
  /** Part of the accounting bar whose lines are wanted; null: all. */
  readonly shown: AccountingPart | null;
  readonly onShowAll: () => void;
  readonly onRole: (column: number, role: Role) => void;
  readonly busy: boolean;
}

const kindsOf: Readonly<Record<AccountingPart, readonly PreviewLine['kind'][]>> = {
  accepted: ['data'],
  held: ['data'],
  rejected: ['rejected'],
  rest: ['preamble', 'header', 'blank', 'footer', 'second-table'],
};

const fewData = 5;
const fewOthers = 9;

/** First lines as they are, what each column holds, and why. */
export function HowItWasRead(props: HowItWasReadProps): ReactNode {
  const { preview, shown, onShowAll, onRole, busy } = props;
  const [lit, setLit] = useState<number | null>(null);
  const [many, setMany] = useState(false);
  const wanted =
    shown === null ? preview.firstLines : preview.firstLines.filter((line) => kindsOf[shown].includes(line.kind));
  const lines = many ? wanted : few(wanted);
  const named = lines.find((line) => line.kind === 'data' && line.spans.length > 0) ?? null;
  const hidden = preview.firstLines.length + preview.moreLines - lines.length;
  return (
    <Region
      title={t('intake-ui.read.title', {})}
      note={
        preview.layout ? (
          <>
            {preview.name}, <Sentence of={preview.layout.said} />
          </>
        ) : (
          preview.name
        )
      }
    >
      {shown === null ? null : (
        <p className="caption">
          {t('intake-ui.account.show-only', {
            what: t(`intake-ui.account.${shown}`, { count: countOf(preview, shown) }),
          })}{' '}
          <Button kind="link" onPress={onShowAll}>
            {t('intake-ui.account.show-all', {})}
          </Button>
        </p>
      )}
      {wanted.length === 0 ? <p className="caption">{t('intake-ui.read.none-of-kind', {})}</p> : null}
      <QuotedLines lines={lines} named={named} lit={lit} onLight={setLit} />
      <p className="caption quoted-more">
        {hidden > 0 && shown === null ? <>… {t('intake-ui.read.more', { count: hidden })} </> : null}
        {wanted.length > lines.length || many ? (
          <Button kind="link" onPress={() => setMany(!many)}>
            {many
              ? t('intake-ui.read.show-few-lines', {})
              : t('intake-ui.read.show-all-lines', { count: wanted.length })}
          </Button>
        ) : null}
      </p>
      <RoleTable preview={preview} lit={lit} onLight={setLit} onRole={onRole} busy={busy} />
    </Region>
  );
}

/** The lines above the table, its first rows, and of everything else a few. */
function few(lines: readonly PreviewLine[]): PreviewLine[] {
  let data = 0;
  let others = 0;
  return lines.filter((line) => {
    if (line.kind === 'data') {
      data += 1;
      return data <= fewData;
    }
    if (data > fewData) return false;
    others += 1;
    return others <= fewOthers;
  });
}

function countOf(preview: IntakePreview, part: AccountingPart): number {
  const { lines } = preview;
  return part === 'accepted'
    ? lines.accepted
    : part === 'held'
      ? lines.alreadyHeld
      : part === 'rejected'
        ? lines.rejected
        : lines.blank + lines.header;
}

function RoleTable({
  preview,
  lit,
  onLight,
  onRole,
  busy,
}: {
  preview: IntakePreview;
  lit: number | null;
  onLight: (column: number | null) => void;
  onRole: (column: number, role: Role) => void;
  busy: boolean;
}): ReactNode {
  if (preview.roles.length === 0) return null;
  return (
    <table className="data role-table">
      <thead>
        <tr>
          <th scope="col">{t('intake-ui.read.role', {})}</th>
          <th scope="col">{t('intake-ui.read.as-written', {})}</th>
          <th scope="col">{t('intake-ui.read.read-as', {})}</th>
          <th scope="col">{t('intake-ui.read.evidence', {})}</th>
        </tr>
      </thead>
      <tbody onPointerLeave={() => onLight(null)}>
        {preview.roles.map((row) => {
          const asked = row.question !== null;
          return (
            <tr
              key={`${row.column} ${row.role} ${row.name ?? ''}`}
              className={`${asked ? 'asked ' : ''}${row.column > 0 && row.column === lit ? 'lit' : ''}`}
              onPointerEnter={() => onLight(row.column)}
            >
              <td>
                <RoleCell row={row} onRole={onRole} onLight={onLight} busy={busy} />
              </td>
              <td>
                <code className="written">{row.asWritten}</code>
              </td>
              <td className={asked ? 'you strong wrap' : 'wrap'}>
                <Sentence of={row.readAs} />
              </td>
              <td className="second wrap">
                <Evidence row={row} />
              </td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

function RoleCell({
  row,
  onRole,
  onLight,
  busy,
}: {
  row: RoleRow;
  onRole: (column: number, role: Role) => void;
  onLight: (column: number | null) => void;
  busy: boolean;
}): ReactNode {
  const name = t(`intake-ui.role.${row.role}`, {});
  if (row.column === 0 || row.choices.length < 2) return <span className={roleClass(row.role)}>{name}</span>;
  const choices = row.choices.includes(row.role) ? row.choices : [row.role, ...row.choices];
  return (
    <select
      className={roleClass(row.role)}
      aria-label={t('intake-ui.read.change', { column: row.column })}
      value={row.role}
      disabled={busy}
      onFocus={() => onLight(row.column)}
      onBlur={() => onLight(null)}
      // One of the options below, which are roles.
      onChange={(event) => onRole(row.column, event.target.value as Role)}
    >
      {choices.map((role) => (
        <option key={role} value={role}>
          {t(`intake-ui.role.${role}`, {})}
        </option>
      ))}
    </select>
  );
}

function Evidence({ row }: { row: RoleRow }): ReactNode {
  const [first, ...more] = row.evidence;
  return (
    <>
      {row.by === 'answer' ? `${t('intake-ui.read.by-answer', {})}; ` : ''}
      {row.by === 'recipe' ? `${t('intake-ui.read.by-recipe', {})}; ` : ''}
      {first ? (
        <span {...(more.length > 0 ? { title: more.map(plain).join('\n') } : {})}>
          <Sentence of={first} />
        </span>
      ) : null}
    </>
  );
}
