import { type ReactNode, useState } from 'react';
import type { JointModel } from '#core/contract/models/register-model.ts';
import type { Direction, StopsBy } from '#core/register/register.ts';
import { t } from '../../parts/text.ts';
import { ChoiceField, TextField } from './number-field.tsx';
import { PendingEdit } from './pending-edit.tsx';
import { openPlace } from './register-place.ts';

const noClass = '';
const orNull = (text: string): string | null => (text.trim() === '' ? null : text.trim());

/** What a joint is: class by harm, direction, what ends a tightening. Changing it says first what follows. */
export function JointForm({
  joint,
  onDone,
  onTold,
}: {
  /** Null: a new joint. */
  joint: JointModel | null;
  onDone: () => void;
  onTold: (words: string) => void;
}): ReactNode {
  const [name, setName] = useState(joint?.name ?? '');
  const [harm, setHarm] = useState(joint?.class ?? noClass);
  const [direction, setDirection] = useState<Direction>(joint?.direction ?? 'cw');
  const [stopsBy, setStopsBy] = useState<StopsBy>(joint?.stopsBy ?? 'torque');
  const [station, setStation] = useState(joint?.station ?? '');
  const [note, setNote] = useState(joint?.note ?? '');
  const given = name.trim();
  const classes = [
    { value: noClass, text: t('register-ui.joint.class-none', {}) },
    { value: 'A', text: t('register-ui.joint.class-a', {}) },
    { value: 'B', text: t('register-ui.joint.class-b', {}) },
    { value: 'C', text: t('register-ui.joint.class-c', {}) },
  ];
  // The plant's own word for a class is kept as one of the choices.
  if (!classes.some((one) => one.value === harm)) classes.push({ value: harm, text: harm });
  return (
    <div className="edit-form">
      <form className="field-row" onSubmit={(event) => event.preventDefault()}>
        {joint === null ? (
          <TextField label={t('register-ui.joint.name', {})} value={name} onChange={setName} required />
        ) : null}
        <ChoiceField label={t('register-ui.joint.class', {})} value={harm} options={classes} onChange={setHarm} />
        <ChoiceField
          label={t('register-ui.joint.direction', {})}
          value={direction}
          options={[
            { value: 'cw', text: t('register-ui.joint.cw', {}) },
            { value: 'ccw', text: t('register-ui.joint.ccw', {}) },
          ]}
          onChange={setDirection}
        />
        <ChoiceField
          label={t('register-ui.joint.stops-by', {})}
          value={stopsBy}
          options={[
            { value: 'torque', text: t('register-ui.joint.torque', {}) },
            { value: 'angle', text: t('register-ui.joint.angle', {}) },
          ]}
          onChange={setStopsBy}
        />
        <TextField label={t('register-ui.joint.station', {})} value={station} onChange={setStation} />
        <TextField label={t('register-ui.joint.note', {})} value={note} onChange={setNote} />
      </form>
      {given === '' ? null : (
        <PendingEdit
          file={{
            joints: [
              {
                name: given,
                class: harm === noClass ? null : harm,
                direction,
                stopsBy,
                station: orNull(station),
                note: orNull(note),
              },
            ],
          }}
          title={() => given}
          putText={t('register-ui.save', {})}
          dropText={t('ui.cancel', {})}
          onDrop={onDone}
          onDone={() => {
            onTold(t('register-ui.saved', { what: given }));
            openPlace({ kind: 'joint', name: given });
            onDone();
          }}
        />
      )}
    </div>
  );
}
