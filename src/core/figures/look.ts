/** Colours of the figures by role. The same values as src/renderer/theme/tokens.css; a test holds them together. */
export type ColourRole =
  | 'paper'
  | 'sheet'
  | 'raise'
  | 'ink'
  | 'ink-2'
  | 'ink-3'
  | 'rule'
  | 'rule-2'
  | 'band'
  | 'grid'
  | 'inside'
  | 'low'
  | 'high'
  | 'unjudged'
  | 'you'
  | 'you-wash'
  | 'low-wash'
  | 'high-wash'
  | 'series-1'
  | 'series-2'
  | 'series-3'
  | 'series-4'
  | 'series-5'
  | 'series-6';

export interface Look {
  readonly name: 'light' | 'dark' | 'print';
  readonly colours: Readonly<Record<ColourRole, string>>;
  readonly sans: string;
  readonly serif: string;
  readonly mono: string;
}

// Single quotes inside: these stand in style attributes of SVG, where double ones would end the attribute.
const sans = "'Inter', 'IBM Plex Sans', 'Segoe UI', 'Helvetica Neue', 'Liberation Sans', Arial, sans-serif";
const serif = "'Source Serif 4', 'Charter', 'Iowan Old Style', 'Georgia', 'Liberation Serif', serif";
const mono = "'IBM Plex Mono', 'Cascadia Mono', 'SF Mono', 'Consolas', 'Liberation Mono', monospace";

const light: Record<ColourRole, string> = {
  paper: '#f3f5f6',
  sheet: '#ffffff',
  raise: '#ffffff',
  ink: '#17212b',
  'ink-2': '#45525f',
  'ink-3': '#5f6c79',
  rule: '#d6dce1',
  'rule-2': '#8a96a2',
  band: '#eef2f5',
  grid: '#e6eaee',
  inside: '#5b6b7b',
  low: '#1a5fb4',
  high: '#b84a00',
  unjudged: '#5f6c79',
  you: '#86286c',
  'you-wash': '#f8ecf4',
  'low-wash': '#e8f0fa',
  'high-wash': '#fbeee4',
  'series-1': '#17212b',
  'series-2': '#0b6a66',
  'series-3': '#7a5cc0',
  'series-4': '#97690b',
  'series-5': '#5a4632',
  'series-6': '#87929d',
};

export const lightLook: Look = { name: 'light', colours: light, sans, serif, mono };

export const darkLook: Look = {
  name: 'dark',
  colours: {
    paper: '#12181e',
    sheet: '#171e25',
    raise: '#1f2831',
    ink: '#e9eef2',
    'ink-2': '#b9c4ce',
    'ink-3': '#93a1ae',
    rule: '#2d3843',
    'rule-2': '#6d7b88',
    band: '#1e2730',
    grid: '#27313a',
    inside: '#93a6b8',
    low: '#6fb1ff',
    high: '#ff9b52',
    unjudged: '#9dabb8',
    you: '#f2b0e0',
    'you-wash': '#372536',
    'low-wash': '#1c2c40',
    'high-wash': '#3a2818',
    'series-1': '#e9eef2',
    'series-2': '#63d6cf',
    'series-3': '#b39df0',
    'series-4': '#d9ab45',
    'series-5': '#c9b8a3',
    'series-6': '#74828f',
  },
  sans,
  serif,
  mono,
};

/** Ink on white paper, whatever the theme on screen. */
export const printLook: Look = {
  name: 'print',
  colours: {
    ...light,
    paper: '#ffffff',
    ink: '#000000',
    'ink-2': '#333d47',
    'ink-3': '#55616c',
    rule: '#c4cbd1',
    'rule-2': '#7d8994',
    band: '#f0f2f4',
    grid: '#e3e7ea',
    inside: '#4c5a68',
    unjudged: '#55616c',
    you: '#000000',
    'you-wash': '#ffffff',
  },
  sans,
  serif,
  mono,
};
