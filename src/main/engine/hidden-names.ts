/** Where nobody shall be named: what leaves the engine beside the analyses, with numbers in place of names. */
import type { CallName, ChangeRow, Replies, Request, SavedScope } from '#core/contract/calls.ts';
import type { InboxModel, IntakeOutcome, RejectedPage } from '#core/contract/models/intake-model.ts';
import type { JointModel, ToolModel } from '#core/contract/models/register-model.ts';
import type { SavedStudy } from '#core/contract/models/study-model.ts';
import { ProblemError } from '#core/contract/problems.ts';
import { type Recipe, recipeSchema } from '#core/intake/recipe.ts';
import { filtersForPlant, operatorsForPlant, scopeForPlant } from '#core/readings/anonymous-plant.ts';
import { type MaskedLine, maskedLine } from '#core/readings/masked-line.ts';
import { type NameMask, nameMask } from '#core/readings/name-mask.ts';
import { type OperatorNumbers, operatorNumbers } from '#core/readings/operator-numbers.ts';
import type { Scope } from '#core/readings/scope.ts';
import type { Register } from '#core/register/register.ts';
import { type Said, said, say } from '#core/text/said.ts';
import type { Json } from '../store/store.ts';
import type { RegisterState } from './register-state.ts';

/** What hiding needs to know of the plant. */
export interface HiddenNames {
  readonly register: Register;
  readonly numbers: OperatorNumbers;
  readonly mask: NameMask;
  /** How a file was read when it was taken in. */
  readonly recipeOf: (source: number) => Promise<Recipe | null>;
}

const masks = new WeakMap<
  RegisterState,
  { readonly drawn: string; readonly numbers: OperatorNumbers; mask?: NameMask }
>();

/** The numbers of the operators, by the lots that were drawn: ids of entries, as the setting keeps them. */
export function numbersOf(state: RegisterState, lots: Json | undefined): OperatorNumbers {
  const drawn = JSON.stringify(lots ?? null);
  const known = masks.get(state);
  if (known?.drawn === drawn) return known.numbers;
  const ids = Array.isArray(lots) ? lots : [];
  const numbers = operatorNumbers(
    state.register,
    ids.map((id) => state.ids.operator.indexOf(Number(id))),
  );
  masks.set(state, { drawn, numbers });
  return numbers;
}

/** Lots with one for each operator who has none yet: those drawn before stay. */
export function withLots(state: RegisterState, lots: Json | undefined, below: (n: number) => number): number[] {
  const held = Array.isArray(lots) ? lots.map(Number) : [];
  const left = [...state.ids.operator].filter((id) => !held.includes(id));
  while (left.length > 0) held.push(...left.splice(below(left.length), 1));
  return held;
}

export function hiddenNames(
  state: RegisterState,
  lots: Json | undefined,
  sourceRecipe: (source: number) => Promise<Json>,
): HiddenNames {
  const numbers = numbersOf(state, lots);
  const known = masks.get(state)!;
  known.mask ??= nameMask(state.register, state.writtenOperators, numbers);
  return {
    register: state.register,
    numbers,
    mask: known.mask,
    recipeOf: async (source) => {
      const parsed = recipeSchema.safeParse(await sourceRecipe(source));
      return parsed.success ? parsed.data : null;
    },
  };
}

/**
 * Calls that answer with badges and names although nobody shall be named, because nobody could do the work without:
 * the register, where they are entered, and a file before it is taken in, whose lines a person must read to say what
 * they hold. `app:settings` holds the name that a person gave to themselves.
 */
export const namesPeople: ReadonlySet<CallName> = new Set<CallName>([
  'register:read',
  'register:preview',
  'register:put',
  'register:removal',
  'register:remove',
  'register:export',
  'register:settle',
  'inbox:read',
  'inbox:preview',
  'app:settings',
]);

/** Lines are cut there for showing: what follows is not known, so such a line is not shown at all. */
const cutAt = 1000;

/** The raw line of a reading as it may be shown, and what to say of it. */
export async function hiddenLine(
  hidden: HiddenNames,
  source: number,
  line: string,
  operator: string | null,
): Promise<{ readonly text: string | null; readonly note: Said | null }> {
  const shown = line.length < cutAt ? maskedLine(line, await hidden.recipeOf(source), hidden.mask, operator) : null;
  if (!shown) return { text: null, note: said('readings.line-hidden', {}) };
  return {
    text: shown.text,
    note: shown.text === line ? null : said('readings.line-masked', { leftOut: shown.leftOut }),
  };
}

/** Whether a request may name operators. */
export function namesOperators(request: unknown): boolean {
  return (
    typeof request === 'object' &&
    request !== null &&
    ['scope', 'choices', 'filters', 'operator'].some((part) => part in request)
  );
}

/** The request with every operator named as the register names them, whether by number or by badge. */
export function namedInRegister<T>(request: T, register: Register, numbers: OperatorNumbers): T {
  return renamed(request, register, false, numbers);
}

/** The request with every operator named by number. */
export function namedByNumber<T>(request: T, register: Register, numbers: OperatorNumbers): T {
  return renamed(request, register, true, numbers);
}

function renamed<T>(request: T, register: Register, anonymous: boolean, numbers: OperatorNumbers): T {
  if (typeof request !== 'object' || request === null) return request;
  const named = (part: object): object => ({
    ...part,
    // Requests are parsed by the contract: what is called scope, or filters, or operator there, is one.
    ...('scope' in part ? { scope: scopeForPlant(part.scope as Scope, register, anonymous, numbers) } : {}),
    ...('filters' in part
      ? { filters: filtersForPlant(part.filters as Request<'readings:page'>['filters'], register, anonymous, numbers) }
      : {}),
    ...('operator' in part && typeof part.operator === 'string'
      ? { operator: operatorsForPlant([part.operator], register, anonymous, numbers)[0] }
      : {}),
  });
  const out = named(request);
  const choices = 'choices' in out && typeof out.choices === 'object' ? out.choices : null;
  // Only names are replaced: the request keeps its shape.
  return (choices ? { ...out, choices: named(choices) } : out) as T;
}

type Hide<C extends CallName> = (
  reply: Replies[C],
  hidden: HiddenNames,
  request: Request<C>,
) => Replies[C] | Promise<Replies[C]>;

/** Calls whose answers are no analysis of the plant, and what must be hidden in them. */
const hides: { readonly [C in CallName]?: Hide<C> } = {
  'inbox:list': (reply, { mask }): InboxModel => ({
    ...reply,
    queue: reply.queue.map((item) => ({ ...item, said: item.said && saidWithout(item.said, mask) })),
    imported: reply.imported.map((source) => ({ ...source, name: mask.fileName(source.name) })),
    recipes: reply.recipes.map((recipe) => ({ ...recipe, name: mask.fileName(recipe.name) })),
  }),
  'inbox:accept': (reply, { mask }): IntakeOutcome[] =>
    // A file that still waits is shown as it is written, as its preview is.
    reply.map((outcome) => (outcome.source === null ? outcome : outcomeWithout(outcome, mask))),
  'inbox:rejected': async (reply, hidden, { source }): Promise<RejectedPage> => {
    if (source === null) return reply;
    const recipe = await hidden.recipeOf(source);
    return {
      ...reply,
      rejected: reply.rejected.map((row) => {
        const { text, span, says } = rejectedWithout(row, recipe, hidden.mask);
        return { ...row, text, span, said: says };
      }),
    };
  },
  'recipe:list': (reply, { mask }) =>
    reply.map((recipe) =>
      typeof recipe === 'object' && recipe !== null && 'name' in recipe && typeof recipe.name === 'string'
        ? { ...recipe, name: mask.fileName(recipe.name) }
        : recipe,
    ),
  'study:list': (reply, { mask, register, numbers }): SavedStudy[] =>
    reply.map((study) => ({
      ...study,
      name: mask.words(study.name),
      by: mask.person(study.by),
      choices: { ...study.choices, scope: scopeForPlant(study.choices.scope, register, true, numbers) },
      // Some figures are counts a file, by the file's name.
      figures: Object.fromEntries(
        Object.entries(study.figures).map(([figure, value]) => [
          figure.replace(/^(source )(.*)( \([0-9a-f]{8}\))$/su, (_all, before: string, name: string, after: string) =>
            [before, mask.fileName(name), after].join(''),
          ),
          value,
        ]),
      ),
    })),
  'scope:list': (reply, { mask, register, numbers }): SavedScope[] =>
    reply.map(({ name, scope }) => ({ name: mask.words(name), scope: scopeForPlant(scope, register, true, numbers) })),
  'change:list': (reply, { mask }) => reply.map((change) => changeWithout(change, mask)),
  'register:joint': (reply, { mask }): JointModel => ({
    ...reply,
    revisions: reply.revisions.map((one) => ({
      ...one,
      by: one.by && mask.person(one.by),
      why: one.why && mask.words(one.why),
    })),
  }),
  'register:tool': (reply, { mask }): ToolModel => ({
    ...reply,
    events: reply.events.map((event) => ({ ...event, note: event.note && mask.words(event.note) })),
  }),
};

/** The answer of a call with nobody named in it. */
export async function withoutNames<C extends CallName>(
  call: C,
  request: Request<C>,
  reply: Replies[C],
  hidden: HiddenNames,
): Promise<Replies[C]> {
  // The table gives each call its own types; the compiler cannot follow it through a type variable.
  const hide = hides[call] as Hide<C> | undefined;
  return hide ? hide(reply, hidden, request) : reply;
}

/** A problem with nobody named in it. */
export function problemWithout(error: unknown, { mask }: HiddenNames): unknown {
  if (!(error instanceof ProblemError)) return error;
  const { kind, said: sentence, hint } = error.problem;
  return new ProblemError(kind, saidWithout(sentence, mask), hint && saidWithout(hint, mask));
}

function saidWithout(sentence: Said, mask: NameMask): Said {
  const args = Object.entries(sentence.args).map(([name, value]): [string, unknown] => [
    name,
    typeof value === 'string' ? (mask.whole(value) ?? mask.fileName(value)) : value,
  ]);
  return { key: sentence.key, args: Object.fromEntries(args) };
}

function changeWithout(change: ChangeRow, mask: NameMask): ChangeRow {
  const { kind, subject, why } = change;
  // The journal says what a name was settled as where other changes say why.
  const isSettled = kind === 'settle' && subject.startsWith('operator ') && why !== null;
  const ofFile = kind === 'intake' || kind === 'withdraw' || kind === 'restore' || kind === 'recipe';
  return {
    ...change,
    who: mask.person(change.who),
    subject: ofFile ? mask.fileName(subject) : mask.subject(subject),
    why: why && (isSettled ? (mask.whole(why) ?? mask.somebody) : mask.words(why)),
  };
}

function outcomeWithout(outcome: IntakeOutcome, mask: NameMask): IntakeOutcome {
  const parsed = recipeSchema.safeParse(outcome.recipe);
  const recipe = parsed.success ? parsed.data : null;
  return {
    ...outcome,
    file: mask.fileName(outcome.file),
    said: saidWithout(outcome.said, mask),
    rejected: outcome.rejected.map((row) => {
      const { text, says } = rejectedWithout({ ...row, span: null }, recipe, mask);
      return { ...row, text, says: say(says) };
    }),
    notices: outcome.notices.map((notice) => ({
      ...notice,
      // This one lists names, however short.
      text: notice.kind === 'unknown-name' ? mask.fileName(notice.text) : mask.words(notice.text),
    })),
    recipe: recipe && { ...recipe, name: mask.fileName(recipe.name) },
  };
}

/** A rejected line as it may be shown. */
function rejectedWithout(
  row: Pick<RejectedPage['rejected'][number], 'line' | 'column' | 'reason' | 'text' | 'span'>,
  recipe: Recipe | null,
  mask: NameMask,
): { text: string; span: readonly [number, number] | null; says: Said } {
  const { line, column, reason } = row;
  const shown: MaskedLine | null = row.text.length < cutAt ? maskedLine(row.text, recipe, mask, undefined) : null;
  const span = (row.span && shown?.place(row.span)) ?? null;
  const text = shown ? shown.text : say(said('readings.line-hidden', {}));
  return {
    text,
    span,
    says: said('store.rejected', {
      line,
      reason,
      column: column && mask.words(column),
      text: span && text.slice(span[0], span[1]).slice(0, 80),
    }),
  };
}
