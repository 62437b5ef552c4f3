import { createRoot } from 'react-dom/client';
import './theme/tokens.css';
import './theme/base.css';
import { App } from './app.tsx';
import { browserBridge } from './bridge/browser-bridge.ts';
import { desktopBridge } from './bridge/desktop-bridge.ts';
import { apply } from './state/settings.ts';

apply();
const root = document.getElementById('root');
if (!root) throw new TypeError('index.html has no element "root"');
const bridge = window.tightbook ? desktopBridge(window.tightbook) : browserBridge();
createRoot(root).render(<App bridge={bridge} />);
