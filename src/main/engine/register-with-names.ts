/** The register as it would be with a file's names. */
import type { Register } from '#core/register/register.ts';
import { unknownJoint, unknownTool } from '#core/register/register-file.ts';
import type { FileNamesMet } from '../reader/reader-jobs.ts';
import type { RegisterState } from './register-state.ts';

/** The register with the file's unknown names at the end, as they are met, and the positions of all its names. */
export class RegisterWithNames {
  readonly names = { tool: [] as string[], operator: [] as string[], joint: [] as string[] };
  readonly position = { tool: [] as number[], operator: [] as number[], joint: [] as number[] };
  readonly #state: RegisterState;
  readonly #tools: Register['tools'][number][];
  readonly #operators: Register['operators'][number][];
  readonly #joints: Register['joints'][number][];
  /** Made anew when names have come: whoever keeps what it worked out of a register does so by its identity. */
  #register: Register | null = null;

  constructor(state: RegisterState) {
    this.#state = state;
    this.#tools = [...state.register.tools];
    this.#operators = [...state.register.operators];
    this.#joints = [...state.register.joints];
  }

  meet(names: FileNamesMet): void {
    const place = (kind: 'tool' | 'operator' | 'joint', written: string, add: () => number): void => {
      const id = this.#state.nameId(kind, written);
      const known = id === null ? -1 : (this.#state.positionOfName[kind][id] ?? -1);
      this.names[kind].push(written);
      this.position[kind].push(known >= 0 ? known : add() - 1);
      this.#register = null;
    };
    for (const name of names.tool) place('tool', name, () => this.#tools.push(unknownTool(name)));
    for (const name of names.operator) {
      place('operator', name, () => this.#operators.push({ badge: name, name: null, confirmed: false }));
    }
    for (const name of names.joint) place('joint', name, () => this.#joints.push(unknownJoint(name)));
  }

  register(): Register {
    this.#register ??= {
      ...this.#state.register,
      tools: [...this.#tools],
      operators: [...this.#operators],
      joints: [...this.#joints],
    };
    return this.#register;
  }
}
