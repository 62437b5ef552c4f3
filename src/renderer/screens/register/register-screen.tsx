/** What do we know about joints, tools, people and shifts? Five lists at the left, what is chosen at the right. */
import { type ReactNode, useState } from 'react';
import type { RegisterModel } from '#core/contract/models/register-model.ts';
import { useCall } from '../../bridge/use-call.ts';
import { ProblemLine } from '../../parts/problem-line.tsx';
import { t } from '../../parts/text.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { changeView, currentView, useView } from '../../state/view.ts';
import { CheckTable } from './check-table.tsx';
import { JointForm } from './joint-form.tsx';
import { JointPage } from './joint-page.tsx';
import { JournalPage } from './journal-page.tsx';
import { NamesToSettle } from './names-to-settle.tsx';
import { OperatorsPage } from './operators-page.tsx';
import { PendingEdit } from './pending-edit.tsx';
import { RegisterExchange, type RegisterImport } from './register-exchange.tsx';
import { RegisterLists } from './register-lists.tsx';
import { firstTool, type RegisterPlace, registerPlace } from './register-place.ts';
import { ShiftsPage } from './shifts-page.tsx';
import { ToolForm } from './tool-form.tsx';
import { ToolPage } from './tool-page.tsx';
import './register.css';

export default function RegisterScreen(): ReactNode {
  const view = useView();
  const register = useCall('register:read', {}, 'register');
  const [told, setTold] = useState('');
  const [incoming, setIncoming] = useState<RegisterImport | null>(null);
  const model = register.value;
  const now = civilNow();
  const place = registerPlace(view) ?? firstPlace(model, view.open.register === firstTool);
  return (
    <div className="register">
      <div className="register-left">
        {model ? (
          <>
            {model.toSettle.length > 0 ? (
              <NamesToSettle
                names={model.toSettle}
                entries={{
                  joint: model.joints.map((one) => one.name),
                  tool: model.tools.map((one) => one.serial),
                  operator: model.operators.map((one) => one.badge),
                }}
                onTold={setTold}
              />
            ) : null}
            <RegisterLists model={model} place={place} now={now} onOpened={() => setTold('')} />
            <RegisterExchange onImport={setIncoming} />
          </>
        ) : null}
      </div>
      <div className="register-main">
        <Waiting on={register.loading && model === null} progress={register.progress} onCancel={register.cancel} />
        <p className="register-told" role="status">
          {told}
        </p>
        <ProblemLine problem={register.problem} onAgain={register.again} />
        {incoming ? (
          <div className="edit-form">
            <PendingEdit
              file={incoming.file}
              title={(preview) =>
                preview !== null && preview.problems.length > 0
                  ? t('register-ui.import.cannot', { name: incoming.name })
                  : t('register-ui.import.title', { name: incoming.name })
              }
              putText={t('register-ui.import.put', {})}
              dropText={t('ui.cancel', {})}
              onDrop={() => setIncoming(null)}
              onDone={() => {
                setTold(t('register-ui.import.done', { name: incoming.name }));
                setIncoming(null);
              }}
            />
          </div>
        ) : null}
        {model ? <Place model={model} place={place} now={now} onTold={setTold} /> : null}
      </div>
    </div>
  );
}

function Place({
  model,
  place,
  now,
  onTold,
}: {
  model: RegisterModel;
  place: RegisterPlace | null;
  now: number;
  onTold: (words: string) => void;
}): ReactNode {
  if (place === null) {
    return <h1 className="say register-empty">{t('register-ui.empty', {})}</h1>;
  }
  switch (place.kind) {
    case 'joint':
      return <JointPage key={place.name} name={place.name} today={now} onTold={onTold} />;
    case 'tool':
      return <ToolPage key={place.name} serial={place.name} now={now} onTold={onTold} />;
    case 'new-joint':
      return (
        <>
          <h1 className="register-title">{t('register-ui.joint.new', {})}</h1>
          <JointForm joint={null} onDone={leaveNew} onTold={onTold} />
        </>
      );
    case 'new-tool':
      return (
        <>
          <h1 className="register-title">{t('register-ui.tool.new', {})}</h1>
          <ToolForm tool={null} onDone={leaveNew} onTold={onTold} />
        </>
      );
    case 'operators':
      return <OperatorsPage model={model} onTold={onTold} />;
    case 'shifts':
      return <ShiftsPage model={model} onTold={onTold} />;
    case 'journal':
      return <JournalPage onTold={onTold} />;
    case 'checks':
      return (
        <>
          <h1 className="register-title">{t('register-ui.checks', {})}</h1>
          <p className="second register-sub">{t('register-ui.checks.log', {})}</p>
          <CheckTable
            checks={[...model.checks].sort((a, b) => b.at - a.at)}
            withTool
            label={t('register-ui.checks', {})}
          />
        </>
      );
  }
}

/** Gives a form for something new up; after saving another place is open already. */
function leaveNew(): void {
  const { open } = currentView();
  if (open.register !== ':new-joint' && open.register !== ':new-tool') return;
  const { register: _form, ...rest } = open;
  changeView({ open: rest }, 'replace');
}

function firstPlace(model: RegisterModel | null, toolFirst: boolean): RegisterPlace | null {
  const joint = model?.joints[0];
  const tool = model?.tools[0];
  if (tool && (toolFirst || !joint)) return { kind: 'tool', name: tool.serial };
  return joint ? { kind: 'joint', name: joint.name } : null;
}

/** This computer's clock as civil time. */
function civilNow(): number {
  const now = new Date();
  return now.getTime() - now.getTimezoneOffset() * 60_000;
}
