/**
 * The frame of the application: top bar, and the screen that is open.
 *
 * A screen is a folder `screens/<name>/` whose `<name>-screen.tsx` has a component as default export, loaded when it
 * is first opened. To add one: put its name into `screens` of state/view.ts and its loader into `load` below, and give
 * it a name in text/en/ui.ts. A screen draws its own second bar (`ScopeBar`, where it has a scope), its finding, its
 * figures, its tables; asks the engine by `useCall`; answers to single keys by `useKeys`; and keeps what should
 * survive leaving it in the view (`changeView`). Parts are in parts/, figures are mounted by figures/figure-view.tsx.
 */
import {
  type ComponentType,
  type LazyExoticComponent,
  lazy,
  type ReactNode,
  Suspense,
  useEffect,
  useRef,
  useState,
} from 'react';
import type { Bridge } from './bridge/bridge.ts';
import { BridgeContext } from './bridge/use-bridge.ts';
import { useCall, useCommand } from './bridge/use-call.ts';
import { KeyList } from './parts/key-list.tsx';
import { useKeys } from './parts/keys.ts';
import { ProblemLine } from './parts/problem-line.tsx';
import { ScreenBoundary } from './parts/screen-boundary.tsx';
import { SearchBox } from './parts/search-box.tsx';
import { SettingsPanel } from './parts/settings-panel.tsx';
import { t } from './parts/text.ts';
import { Waiting } from './parts/waiting.tsx';
import { useNamedOperators } from './state/named-operators.ts';
import { usePresentNames } from './state/present-names.ts';
import { useStoredSettings } from './state/settings.ts';
import { StatusContext, useStatus } from './state/use-status.ts';
import { changeView, currentView, firstPeriod, type Period, type ScreenName, screens, useView } from './state/view.ts';

const load: Readonly<Record<ScreenName, LazyExoticComponent<ComponentType>>> = {
  intake: lazy(() => import('./screens/intake/intake-screen.tsx')),
  review: lazy(() => import('./screens/review/review-screen.tsx')),
  drift: lazy(() => import('./screens/drift/drift-screen.tsx')),
  study: lazy(() => import('./screens/study/study-screen.tsx')),
  readings: lazy(() => import('./screens/readings/readings-screen.tsx')),
  register: lazy(() => import('./screens/register/register-screen.tsx')),
};

/** The whole window. */
export function App({ bridge }: { bridge: Bridge }): ReactNode {
  return (
    <BridgeContext value={bridge}>
      <Frame bridge={bridge} />
    </BridgeContext>
  );
}

/** The journal keeps what was taken back; this line only confirms the key. */
const toldForMs = 8000;
const statusTouches = { touches: ['readings', 'register', 'settings'] } as const;

function Frame({ bridge }: { bridge: Bridge }): ReactNode {
  const view = useView();
  const status = useCall('app:status', {}, 'status', statusTouches);
  const undo = useCommand('change:undo');
  const [keysShown, setKeysShown] = useState(false);
  const [told, setTold] = useState('');
  useStoredSettings(bridge);
  useNamedOperators(bridge, status.value);
  usePresentNames(status.value);

  // Columns load while the window is usable already; the counts are asked for again until they are complete.
  const loading = status.value?.loading === true;
  const { again } = status;
  useEffect(() => {
    if (!loading) return;
    const timer = setInterval(again, 500);
    return () => clearInterval(timer);
  }, [loading, again]);

  const held = status.value;
  const chosenForYou = useRef<string | null>(null);
  useEffect(() => {
    if (!held) return;
    // A shift that the register does not know any more holds no reading. While shifts are removed and taken back this
    // is seen here, whoever did it.
    const gone = (period: Period | null): boolean =>
      period?.shift != null && !held.shifts.some((shift) => shift.name === period.shift);
    if (gone(view.driftPeriod)) changeView({ driftPeriod: null }, 'replace');
    // A period that nobody chose follows the newest shift while files come in on Intake.
    const mayChoose =
      view.period === null ||
      gone(view.period) ||
      (view.screen === 'intake' && JSON.stringify(view.period) === chosenForYou.current);
    // While readings load, the newest shift may not be known yet: wait for it rather than open on another period.
    if (!mayChoose || (held.loading && !held.newestShift)) return;
    const period = firstPeriod(held);
    if (period) {
      const text = JSON.stringify(period);
      if (text !== JSON.stringify(view.period)) changeView({ period }, 'replace');
      chosenForYou.current = text;
    } else if (window.location.hash === '') changeView({ screen: 'intake' }, 'replace');
  }, [held, view.period, view.driftPeriod, view.screen]);

  const { problem: undoProblem, clear: clearUndo } = undo;
  useEffect(() => {
    if (!undoProblem) return;
    const timer = setTimeout(clearUndo, toldForMs);
    return () => clearTimeout(timer);
  }, [undoProblem, clearUndo]);
  useEffect(() => {
    if (told === '') return;
    const timer = setTimeout(() => setTold(''), toldForMs);
    return () => clearTimeout(timer);
  }, [told]);

  useEffect(() => {
    document.title = `${t(`ui.screen.${view.screen}`, {})} - ${t('common.product', {})}`;
  }, [view.screen]);

  const go = (screen: ScreenName): void => changeView({ screen });
  useKeys({
    '1': () => go('intake'),
    '2': () => go('review'),
    '3': () => go('drift'),
    '4': () => go('study'),
    '5': () => go('readings'),
    '6': () => go('register'),
    d: () => (currentView().tool === null ? false : go('drift')),
    s: () => (currentView().joint === null ? false : go('study')),
    r: () => go('readings'),
    u: () => {
      void undo.run({ change: null }).then((done) => {
        if (done) setTold(t('ui.undone', {}));
      });
    },
    '?': () => setKeysShown(true),
  });

  const Screen = load[view.screen];
  return (
    <StatusContext value={status.value}>
      <button type="button" className="skip" onClick={() => document.getElementById('content')?.focus()}>
        {t('ui.skip', {})}
      </button>
      <TopBar />
      <p className={told === '' ? 'hidden' : 'told'} role="status">
        {told}
      </p>
      <ProblemLine problem={undo.problem} />
      <ProblemLine problem={status.problem} onAgain={status.again} />
      <main id="content" tabIndex={-1} className={`screen-${view.screen}`}>
        <ScreenBoundary key={view.screen}>
          <Suspense
            fallback={
              <div className="screen">
                <Waiting on />
              </div>
            }
          >
            <Screen />
          </Suspense>
        </ScreenBoundary>
      </main>
      {keysShown ? <KeyList onClose={() => setKeysShown(false)} /> : null}
    </StatusContext>
  );
}

function TopBar(): ReactNode {
  const view = useView();
  return (
    <header className="top-bar">
      <span className="brand">
        <svg width="22" height="16" viewBox="0 0 22 16" aria-hidden="true">
          <path d="M6 1H2v14h4M16 1h4v14h-4" fill="none" stroke="currentColor" strokeWidth="1.8" />
          <circle cx="12.4" cy="8" r="2.5" fill="currentColor" />
        </svg>
        {t('common.product', {})}
      </span>
      <nav aria-label={t('ui.screens', {})}>
        {screens.map((name, index) => (
          <a
            key={name}
            href={`#/${name}`}
            {...(name === view.screen ? { 'aria-current': 'page' as const } : {})}
            aria-keyshortcuts={String(index + 1)}
            onClick={(event) => {
              event.preventDefault();
              changeView({ screen: name });
            }}
          >
            <span className="kbd" aria-hidden="true">
              {index + 1}
            </span>
            {t(`ui.screen.${name}`, {})}
          </a>
        ))}
      </nav>
      <Held />
      <SearchBox />
      <SettingsPanel />
    </header>
  );
}

/** What is held, in three short parts. */
function Held(): ReactNode {
  const status = useStatus();
  if (!status) return <span className="held" />;
  const parts = [
    status.plantName ?? '',
    status.readings === 0 ? t('ui.held.none', {}) : t('ui.held.readings', { count: status.readings }),
    status.from === null || status.to === null ? '' : t('ui.held.period', { from: status.from, to: status.to }),
    status.clockUnset > 0 ? t('ui.held.clock-unset', { count: status.clockUnset }) : '',
    status.loading ? t('ui.held.loading', {}) : '',
    status.readOnly ? t('ui.held.read-only', {}) : '',
  ].filter((part) => part !== '');
  return (
    <span className="held">
      {parts.map((part) => (
        <span key={part}>{part}</span>
      ))}
    </span>
  );
}
