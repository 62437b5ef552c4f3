/** What the groups of calls that write into the store know of the engine. */
import type { CallName, Done, Replies, Request, SavedScope } from '#core/contract/calls.ts';
import type { SavedStudy } from '#core/contract/models/study-model.ts';
import type { Plant } from '#core/readings/plant.ts';
import type { Committed, Store, StoreOp } from '../store/store.ts';
import type { ServeContext } from './engine.ts';
import type { Asked } from './engine-calls.ts';
import type { RegisterState } from './register-state.ts';
import type { RemovalAsked } from './removal.ts';

export interface CallHost {
  readonly store: Store;
  readonly programVersion: string;
  plant(): Promise<Plant>;
  /** The register, without waiting for the readings. */
  registerState(): Promise<RegisterState>;
  /** The register that goes with the plant last asked for. */
  registerNow(): RegisterState;
  asked(context: ServeContext): Promise<Asked>;
  removalAsked(): Promise<RemovalAsked>;
  savedStudies(): Promise<SavedStudy[]>;
  savedScopes(): Promise<SavedScope[]>;
  /** One change of the journal; everybody who listens is told. */
  commit(kind: string, subject: string, why: string | null, ops: readonly StoreOp[]): Promise<Done>;
  committed(kind: string, subject: string, why: string | null, ops: readonly StoreOp[]): Promise<Committed>;
}

/** Functions that answer some of the calls. */
export type OwnCalls<C extends CallName> = {
  readonly [K in C]: (request: Request<K>, context: ServeContext) => Promise<Replies[K]>;
};
