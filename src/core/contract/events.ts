/** What a window is told after every commit, its own or another process's; it asks again for what it shows. */
export interface StoreEvent {
  /** Last journal entry; 0 when unknown. */
  readonly change: number;
  readonly touches: readonly ('readings' | 'register' | 'marks' | 'recipes' | 'inbox' | 'studies' | 'settings')[];
}

/** How far a long job is; at most ten a second. */
export interface Progress {
  readonly phase: 'reading' | 'probing' | 'taking-in' | 'loading' | 'computing' | 'writing';
  readonly done: number;
  readonly total: number | null;
  readonly unit: 'bytes' | 'lines' | 'readings' | 'files' | 'steps';
}
