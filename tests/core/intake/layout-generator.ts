/**
 * Writes readings in random layouts. Knows nothing of the reader's code: spellings, orders and quirks are written down
 * here anew, from what wrenches export, so that reader and generator cannot share a mistake.
 */
import fc from 'fast-check';

export interface Truth {
  /** `YYYY-MM-DD`, with `THH:MM[:SS]` as the layout writes it; null: the layout has no date. */
  readonly at: string | null;
  readonly torque: number;
  readonly angle: number | null;
  readonly tool: string;
  readonly joint: string;
  readonly operator: string | null;
  readonly own: 'good' | 'bad' | null;
}

export interface Written {
  readonly text: string;
  readonly truth: readonly Truth[];
  /** In the unit written: nothing is converted. */
  readonly unit: string;
  /** The layout leaves the order of day and month open (no day above 12, no hint): a question is right. */
  readonly orderIsOpen: boolean;
  /** No number shows which mark is the decimal one. */
  readonly markIsOpen: boolean;
  readonly seed: string;
}

const unitSpellings: readonly (readonly [string, readonly string[]])[] = [
  ['N.m', ['Nm', 'N.m', 'N·m', 'N*m', 'N-m', 'nm', 'NM']],
  ['lbf.ft', ['ft-lb', 'ft.lb', 'lbf.ft', 'ftlbs', 'lbf-ft', 'ft lbs']],
  ['lbf.in', ['in-lb', 'in.lb', 'lbf.in', 'inlbs']],
  ['kgf.m', ['kgf.m', 'kg-m', 'kgm']],
  ['kgf.cm', ['kgf.cm', 'kg-cm']],
  ['cN.m', ['cNm', 'cN.m']],
  ['dN.m', ['dNm', 'dN.m']],
];

const words: Readonly<Record<string, readonly Record<string, string>[]>> = {
  header: [
    {
      date: 'Date',
      time: 'Time',
      both: 'Date/Time',
      torque: 'Torque',
      unit: 'Unit',
      angle: 'Angle',
      tool: 'Tool',
      joint: 'Joint',
      operator: 'Operator',
      own: 'Result',
      no: 'No',
    },
    {
      date: 'Datum',
      time: 'Uhrzeit',
      both: 'Zeitstempel',
      torque: 'Drehmoment',
      unit: 'Einheit',
      angle: 'Drehwinkel',
      tool: 'Werkzeug',
      joint: 'Schraubstelle',
      operator: 'Bediener',
      own: 'Ergebnis',
      no: 'Lfd. Nr.',
    },
    {
      date: 'Date',
      time: 'Heure',
      both: 'Horodatage',
      torque: 'Couple',
      unit: 'Unité',
      angle: 'Angle',
      tool: 'Outil',
      joint: 'Assemblage',
      operator: 'Opérateur',
      own: 'Résultat',
      no: 'N°',
    },
    {
      date: 'Fecha',
      time: 'Hora',
      both: 'Fecha y hora',
      torque: 'Par de apriete',
      unit: 'Unidad',
      angle: 'Ángulo',
      tool: 'Herramienta',
      joint: 'Punto de apriete',
      operator: 'Operario',
      own: 'Resultado',
      no: 'Número',
    },
    {
      date: 'Data',
      time: 'Ora',
      both: 'Data e ora',
      torque: 'Coppia',
      unit: 'Unità',
      angle: 'Angolo',
      tool: 'Utensile',
      joint: 'Giunto',
      operator: 'Operatore',
      own: 'Esito',
      no: 'Progressivo',
    },
    {
      date: 'Datum',
      time: 'Tijd',
      both: 'Datum/tijd',
      torque: 'Koppel',
      unit: 'Eenheid',
      angle: 'Hoek',
      tool: 'Gereedschap',
      joint: 'Verbinding',
      operator: 'Gebruiker',
      own: 'Resultaat',
      no: 'Volgnummer',
    },
    {
      date: 'Datum',
      time: 'Klockslag',
      both: 'Tidpunkt',
      torque: 'Vridmoment',
      unit: 'Enhet',
      angle: 'Vinkel',
      tool: 'Verktyg',
      joint: 'Förband',
      operator: 'Användare',
      own: 'Resultat',
      no: 'Löpnummer',
    },
    {
      date: 'Data',
      time: 'Godzina',
      both: 'Data i godzina',
      torque: 'Moment dokręcenia',
      unit: 'Jednostka',
      angle: 'Kąt',
      tool: 'Narzędzie',
      joint: 'Połączenie',
      operator: 'Pracownik',
      own: 'Wynik',
      no: 'Lp.',
    },
    {
      date: 'Data',
      time: 'Hora',
      both: 'Data e hora',
      torque: 'Torque',
      unit: 'Unidade',
      angle: 'Ângulo',
      tool: 'Ferramenta',
      joint: 'Junta',
      operator: 'Operador',
      own: 'Resultado',
      no: 'Número',
    },
    {
      date: '日期',
      time: '时间',
      both: '日期时间',
      torque: '扭矩',
      unit: '单位',
      angle: '角度',
      tool: '工具',
      joint: '接头',
      operator: '操作员',
      own: '结果',
      no: '序号',
    },
    {
      date: '日付',
      time: '時刻',
      both: '日時',
      torque: 'トルク',
      unit: '単位',
      angle: '角度',
      tool: '工具番号',
      joint: '締結部',
      operator: '作業者',
      own: '判定',
      no: '番号',
    },
  ],
};

const ownPairs: readonly (readonly [string, string])[] = [
  ['OK', 'NOK'],
  ['PASS', 'FAIL'],
  ['i.O.', 'n.i.O.'],
  ['good', 'bad'],
  ['OK', 'LO'],
];

const monthNames = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

/** A layout and its readings, as one arbitrary. */
export const writtenDump: fc.Arbitrary<Written> = fc
  .record({
    language: fc.nat(words.header!.length - 1),
    delimiter: fc.constantFrom(',', ';', '\t', '|'),
    mark: fc.constantFrom('.', ','),
    decimals: fc.constantFrom(0, 1, 2, 2, 3),
    unit: fc.nat(unitSpellings.length - 1),
    unitSpelling: fc.nat(6),
    unitPlace: fc.constantFrom('column', 'header', 'preamble', 'glued'),
    angle: fc.constantFrom('none', 'whole', 'decimal'),
    date: fc.constantFrom('iso', 'dmy.', 'dmy/', 'mdy/', 'ymd/', 'dmy-', 'name', 'compact', 'none'),
    shortYear: fc.boolean(),
    clock: fc.constantFrom('hms', 'hm', 'ampm', 'none'),
    joined: fc.boolean(),
    toolPlace: fc.constantFrom('column', 'preamble'),
    operator: fc.boolean(),
    own: fc.constantFrom(-1, 0, 1, 2, 3, 4),
    number: fc.boolean(),
    quoteAll: fc.boolean(),
    ending: fc.constantFrom('\n', '\r\n', '\r'),
    lastEnding: fc.boolean(),
    bom: fc.boolean(),
    trailing: fc.boolean(),
    footer: fc.boolean(),
    blankEvery: fc.constantFrom(0, 0, 7),
    shuffle: fc.nat(1000),
    count: fc.integer({ min: 2, max: 40 }),
    seed: fc.nat(2 ** 31 - 1),
    narrowDays: fc.boolean(),
  })
  .map(write);

type Choice = Parameters<typeof write>[0];

function write(c: {
  language: number;
  delimiter: string;
  mark: string;
  decimals: number;
  unit: number;
  unitSpelling: number;
  unitPlace: string;
  angle: string;
  date: string;
  shortYear: boolean;
  clock: string;
  joined: boolean;
  toolPlace: string;
  operator: boolean;
  own: number;
  number: boolean;
  quoteAll: boolean;
  ending: string;
  lastEnding: boolean;
  bom: boolean;
  trailing: boolean;
  footer: boolean;
  blankEvery: number;
  shuffle: number;
  count: number;
  seed: number;
  narrowDays: boolean;
}): Written {
  const random = generator(c.seed);
  const names = words.header![c.language]!;
  const [unit, spellings] = unitSpellings[c.unit]!;
  const spelling = spellings[c.unitSpelling % spellings.length]!;
  const quoted = c.quoteAll || (c.delimiter === ',' && c.mark === ',');
  const hasDate = c.date !== 'none';
  const hasClock = hasDate && c.clock !== 'none';
  const joined = c.joined && hasDate && hasClock;
  const tools = ['T-411', 'T-207'];
  const joints = ['Crank arm', 'Rack stay M8', 'Stem, upper'];
  const operators = ['B17', 'A. Moreau', '0160'];

  type Column = { name: string; cell: (t: Truth, i: number) => string };
  const columns: Column[] = [];
  if (c.number) columns.push({ name: names.no!, cell: (_t, i) => String(i + 1) });
  if (joined) columns.push({ name: names.both!, cell: (t) => `${dateText(t.at!, c)} ${clockText(t.at!, c)}` });
  else {
    if (hasDate) columns.push({ name: names.date!, cell: (t) => dateText(t.at!, c) });
    if (hasClock) columns.push({ name: names.time!, cell: (t) => clockText(t.at!, c) });
  }
  const number = (value: number, decimals: number): string => value.toFixed(decimals).replace('.', c.mark);
  columns.push({
    name: c.unitPlace === 'header' ? `${names.torque} [${spelling}]` : names.torque!,
    cell: (t) => `${number(t.torque, c.decimals)}${c.unitPlace === 'glued' ? ` ${spelling}` : ''}`,
  });
  if (c.unitPlace === 'column') columns.push({ name: names.unit!, cell: () => spelling });
  if (c.angle !== 'none')
    columns.push({ name: names.angle!, cell: (t) => number(t.angle!, c.angle === 'whole' ? 0 : 1) });
  if (c.toolPlace === 'column') columns.push({ name: names.tool!, cell: (t) => t.tool });
  columns.push({ name: names.joint!, cell: (t) => t.joint });
  if (c.operator) columns.push({ name: names.operator!, cell: (t) => t.operator! });
  if (c.own >= 0)
    columns.push({ name: names.own!, cell: (t) => (t.own === 'good' ? ownPairs[c.own]![0] : ownPairs[c.own]![1]) });
  // Any order of columns: a rotation is enough to move every one to every place.
  const turn = c.shuffle % columns.length;
  const ordered = [...columns.slice(turn), ...columns.slice(0, turn)];

  const truth: Truth[] = [];
  let minute = Math.floor(random() * 600);
  const startDay = c.narrowDays ? 1 : 1 + Math.floor(random() * 27);
  for (let i = 0; i < c.count; i++) {
    minute += 1 + Math.floor(random() * (c.narrowDays ? 5 : 400));
    const at = new Date(
      Date.UTC(2026, c.narrowDays ? 4 : Math.floor(c.seed % 10), startDay, 0, minute, Math.floor(random() * 60)),
    );
    const iso = at.toISOString();
    const torque = Number((5 + random() * 95).toFixed(c.decimals));
    truth.push({
      at: !hasDate
        ? null
        : !hasClock
          ? iso.slice(0, 10)
          : c.clock === 'hm'
            ? `${iso.slice(0, 16)}:00`
            : iso.slice(0, 19),
      torque: random() < 0.05 ? -torque : torque,
      angle: c.angle === 'none' ? null : Number((10 + random() * 300).toFixed(c.angle === 'whole' ? 0 : 1)),
      tool: c.toolPlace === 'column' ? tools[Math.floor(random() * tools.length)]! : 'T-411',
      joint: joints[Math.floor(random() * joints.length)]!,
      operator: c.operator ? operators[Math.floor(random() * operators.length)]! : null,
      own: c.own < 0 ? null : random() < 0.8 ? 'good' : 'bad',
    });
  }

  const cell = (text: string): string =>
    quoted || text.includes(c.delimiter) || text.includes('"') ? `"${text.replaceAll('"', '""')}"` : text;
  const line = (cells: readonly string[]): string =>
    cells.map(cell).join(c.delimiter) + (c.trailing ? c.delimiter : '');
  const lines: string[] = [];
  if (c.toolPlace === 'preamble') lines.push(['Serial number', 'T-411'].map(cell).join(c.delimiter));
  if (c.unitPlace === 'preamble') lines.push(['Unit', spelling].map(cell).join(c.delimiter));
  if (lines.length > 0) lines.push('');
  lines.push(line(ordered.map((column) => column.name)));
  truth.forEach((t, i) => {
    if (c.blankEvery > 0 && i % c.blankEvery === 3) lines.push('');
    lines.push(line(ordered.map((column) => column.cell(t, i))));
  });
  if (c.footer) lines.push('End of data');
  const text = (c.bom ? '\ufeff' : '') + lines.join(c.ending) + (c.lastEnding ? c.ending : '');

  const days = truth.map((t) => t.at).filter((at) => at !== null);
  const numeric = c.date === 'dmy.' || c.date === 'dmy/' || c.date === 'dmy-' || c.date === 'mdy/';
  const parts = days.map((at) => [Number(at.slice(8, 10)), Number(at.slice(5, 7)), Number(at.slice(2, 4))] as const);
  const noDayAbove12 = parts.every(([day]) => day <= 12);
  // With two-digit years a first part up to 27 may be a year (2000 to next year), the last a day.
  const mayBeYear =
    c.shortYear &&
    numeric &&
    parts.every(([day, month, year]) => {
      const first = c.date === 'mdy/' ? month : day;
      const second = c.date === 'mdy/' ? day : month;
      return first <= 27 && second <= 12 && year <= daysOf(first, second);
    });
  const values = truth.flatMap((t) => [
    t.torque.toFixed(c.decimals),
    ...(t.angle === null ? [] : [t.angle.toFixed(c.angle === 'whole' ? 0 : 1)]),
  ]);
  const withMark = values.filter((value) => value.includes('.'));
  return {
    text,
    truth,
    unit,
    orderIsOpen: numeric && (noDayAbove12 || mayBeYear),
    markIsOpen: withMark.length > 0 && withMark.every((value) => /^-?[1-9]\d{0,2}\.\d{3}$/.test(value)),
    seed: JSON.stringify(c),
  };
}

function daysOf(year: number, month: number): number {
  return new Date(Date.UTC(2000 + year, month, 0)).getUTCDate();
}

function dateText(at: string, c: Choice): string {
  const year = at.slice(0, 4);
  const [y, m, d] = [
    c.shortYear && c.date !== 'iso' && c.date !== 'ymd/' && c.date !== 'name' ? year.slice(2) : year,
    at.slice(5, 7),
    at.slice(8, 10),
  ];
  switch (c.date) {
    case 'iso':
      return `${year}-${m}-${d}`;
    case 'dmy.':
      return `${d}.${m}.${y}`;
    case 'dmy/':
      return `${d}/${m}/${y}`;
    case 'mdy/':
      return `${Number(m)}/${Number(d)}/${y}`;
    case 'ymd/':
      return `${year}/${m}/${d}`;
    case 'dmy-':
      return `${d}-${m}-${y}`;
    case 'name':
      return `${d}-${monthNames[Number(m) - 1]}-${year}`;
    default:
      return `${year}${m}${d}`;
  }
}

function clockText(at: string, c: Choice): string {
  const [hour, minute, second] = [Number(at.slice(11, 13)), at.slice(14, 16), at.slice(17, 19)];
  if (c.clock === 'hm') return `${String(hour).padStart(2, '0')}:${minute}`;
  if (c.clock === 'ampm') return `${hour % 12 === 0 ? 12 : hour % 12}:${minute}:${second} ${hour < 12 ? 'AM' : 'PM'}`;
  return `${String(hour).padStart(2, '0')}:${minute}:${second}`;
}

/** Mulberry32, so that a seed gives the same dump everywhere. */
function generator(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = a;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}
