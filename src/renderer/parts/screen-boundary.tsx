import { Component, type ReactNode } from 'react';
import { said } from '#core/text/said.ts';
import { makeProblem } from '../bridge/problem-of.ts';
import { ProblemLine } from './problem-line.tsx';

/** Keeps a fault in one screen from taking the others down. */
export class ScreenBoundary extends Component<{ readonly children: ReactNode }, { readonly fault: string | null }> {
  override state: { readonly fault: string | null } = { fault: null };

  static getDerivedStateFromError(thrown: unknown): { fault: string } {
    return { fault: thrown instanceof Error ? thrown.message : String(thrown) };
  }

  override render(): ReactNode {
    if (this.state.fault === null) return this.props.children;
    return (
      <div className="screen">
        <ProblemLine
          problem={makeProblem('fault', said('ui.problem.screen', { detail: this.state.fault }))}
          onAgain={() => this.setState({ fault: null })}
        />
      </div>
    );
  }
}
