import type { ReactNode } from 'react';

/** What a region says when there is nothing to show: one or two sentences, and the next step as a button. */
export function EmptyState({ children, action }: { children: ReactNode; action?: ReactNode }): ReactNode {
  return (
    <div className="empty">
      <p className="say">{children}</p>
      {action === undefined ? null : <div className="empty-action">{action}</div>}
    </div>
  );
}
