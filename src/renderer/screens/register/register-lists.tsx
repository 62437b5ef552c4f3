import type { ReactNode } from 'react';
import type { RegisterModel } from '#core/contract/models/register-model.ts';
import { startOfDay } from '#core/time/civil-time.ts';
import { Button } from '../../parts/button.tsx';
import { useOperatorWords } from '../../parts/operator-words.ts';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';
import { useRoving } from '../../parts/use-roving.ts';
import { useSettings } from '../../state/settings.ts';
import { openPlace, type RegisterPlace, samePlace } from './register-place.ts';
import { ShiftBandPicture } from './shift-band-picture.tsx';

interface Entry {
  readonly place: RegisterPlace;
  readonly name: string;
  readonly note: ReactNode;
  readonly end?: ReactNode;
}

/** The five lists: joints, tools, operators, shifts, check log. */
export function RegisterLists({
  model,
  place,
  now,
  onOpened,
}: {
  model: RegisterModel;
  place: RegisterPlace | null;
  now: number;
  /** Another place was opened by hand. */
  onOpened: () => void;
}): ReactNode {
  const operatorWords = useOperatorWords();
  const { namesHidden } = useSettings();
  const overdue = model.tools.filter((tool) => isOverdue(tool, now)).length;
  const tools = [...model.tools].sort(
    (a, b) =>
      Number(isOverdue(b, now)) - Number(isOverdue(a, now)) ||
      a.serial.localeCompare(b.serial, 'en', { numeric: true }),
  );
  return (
    <>
      <List
        id="joints"
        title={t('register-ui.joints', {})}
        note={t('register-ui.joints.note', { count: model.joints.length })}
        place={place}
        onOpened={onOpened}
        entries={model.joints.map((joint) => ({
          place: { kind: 'joint', name: joint.name },
          name: joint.name,
          note: joint.confirmed ? <Sentence of={joint.said} /> : t('register-ui.unconfirmed', {}),
          end: joint.class,
        }))}
        add={{ text: t('register-ui.add-joint', {}), place: { kind: 'new-joint' } }}
      />
      <List
        id="tools"
        title={t('register-ui.tools', {})}
        note={t('register-ui.tools.note', { count: model.tools.length, overdue })}
        place={place}
        onOpened={onOpened}
        entries={tools.map((tool) => ({
          place: { kind: 'tool', name: tool.serial },
          name: tool.serial,
          note: tool.confirmed ? (
            isOverdue(tool, now) && tool.calibrationDue !== null ? (
              <strong>{t('register-ui.overdue-since', { at: tool.calibrationDue })}</strong>
            ) : (
              <Sentence of={tool.said} />
            )
          ) : (
            t('register-ui.unconfirmed', {})
          ),
          end: tool.status === 'in-use' ? null : t(`register-ui.${tool.status}`, {}),
        }))}
        add={{ text: t('register-ui.add-tool', {}), place: { kind: 'new-tool' } }}
      />
      <List
        id="operators"
        title={t('register-ui.operators', {})}
        note={t('register-ui.count', { count: model.operators.length })}
        place={place}
        onOpened={onOpened}
        entries={[
          {
            place: { kind: 'operators' },
            name: '',
            note:
              model.operators.length === 0
                ? t('register-ui.nothing', {})
                : namesHidden
                  ? // This list stands beside every page; the page of the operators is opened to see them.
                    t('register-ui.operators.people', { count: model.operators.length })
                  : `${model.operators
                      .slice(0, 8)
                      .map((operator) => operatorWords(operator.badge, operator.name))
                      .join(
                        ', ',
                      )}${model.operators.length > 8 ? ` ${t('register-ui.more', { count: model.operators.length - 8 })}` : ''}`,
          },
        ]}
      />
      <List
        id="shifts"
        title={t('register-ui.shifts', {})}
        note={t('register-ui.count', { count: model.shifts.length })}
        place={place}
        onOpened={onOpened}
        entries={[
          {
            place: { kind: 'shifts' },
            name: '',
            note:
              model.shifts.length === 0 ? (
                t('register-ui.shifts.none', {})
              ) : (
                <ShiftBandPicture shifts={model.shifts} width={212} />
              ),
          },
        ]}
      />
      <List
        id="checks"
        title={t('register-ui.checks', {})}
        note={t('register-ui.count', { count: model.checks.length })}
        place={place}
        onOpened={onOpened}
        entries={[{ place: { kind: 'checks' }, name: '', note: lastCheck(model) }]}
      />
      <List
        id="journal"
        title={t('register-ui.journal', {})}
        note=""
        place={place}
        onOpened={onOpened}
        entries={[{ place: { kind: 'journal' }, name: '', note: t('register-ui.journal.note', {}) }]}
      />
    </>
  );
}

/** A calibration is due until the end of its day. */
const isOverdue = (tool: RegisterModel['tools'][number], now: number): boolean =>
  tool.status === 'in-use' && tool.calibrationDue !== null && tool.calibrationDue < startOfDay(now);

function lastCheck(model: RegisterModel): ReactNode {
  const last = [...model.checks].sort((a, b) => b.at - a.at)[0];
  return last ? (
    <>
      {last.tool}, {t('register-ui.day', { at: last.at })}: <Sentence of={last.said} />
    </>
  ) : (
    t('register-ui.nothing', {})
  );
}

function List({
  id,
  title,
  note,
  entries,
  place,
  add,
  onOpened,
}: {
  id: string;
  title: string;
  note: ReactNode;
  entries: readonly Entry[];
  place: RegisterPlace | null;
  add?: { readonly text: string; readonly place: RegisterPlace };
  onOpened: () => void;
}): ReactNode {
  const roving = useRoving(entries.length);
  const open = (next: RegisterPlace): void => {
    openPlace(next);
    onOpened();
  };
  return (
    <section className="register-list" aria-labelledby={`register-${id}`}>
      <h2 id={`register-${id}`}>
        {title}
        <span className="note">{note}</span>
      </h2>
      {entries.length === 0 ? <p className="caption">{t('register-ui.nothing', {})}</p> : null}
      <ul onKeyDown={roving.onKeyDown}>
        {entries.map((entry, index) => (
          <li key={entry.name}>
            <button
              type="button"
              className={samePlace(place, entry.place) ? 'entry on' : 'entry'}
              aria-current={samePlace(place, entry.place)}
              onClick={() => open(entry.place)}
              {...roving.item(index)}
            >
              {entry.name === '' ? (
                <span className="hidden">{title}</span>
              ) : (
                <span className="entry-name">{entry.name}</span>
              )}
              {entry.end ? <span className="entry-end">{entry.end}</span> : null}
              <span className="entry-note">{entry.note}</span>
            </button>
          </li>
        ))}
      </ul>
      {add ? (
        <Button kind="link" onPress={() => open(add.place)}>
          {add.text}
        </Button>
      ) : null}
    </section>
  );
}
