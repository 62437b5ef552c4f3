import type { ReactNode } from 'react';

interface ButtonProps {
  readonly children: ReactNode;
  readonly onPress: () => void;
  /** `go`: the one main action of a screen. `you`: answers a question. `link`: inside text. */
  readonly kind?: 'plain' | 'go' | 'you' | 'link';
  /** Single key that does the same; printed in the button. */
  readonly keyName?: string;
  readonly disabled?: boolean;
  /** Why it cannot be pressed, or more about what it does. */
  readonly title?: string;
  readonly pressed?: boolean;
  readonly expanded?: boolean;
  readonly label?: string;
}

/** A button in words. */
export function Button(props: ButtonProps): ReactNode {
  const { children, onPress, kind = 'plain', keyName, disabled = false, title, pressed, expanded, label } = props;
  return (
    <button
      type="button"
      className={kind === 'link' ? 'link' : `button ${kind}`}
      onClick={onPress}
      disabled={disabled}
      {...(title === undefined ? {} : { title })}
      {...(pressed === undefined ? {} : { 'aria-pressed': pressed })}
      {...(expanded === undefined ? {} : { 'aria-expanded': expanded })}
      {...(label === undefined ? {} : { 'aria-label': label })}
      {...(keyName === undefined ? {} : { 'aria-keyshortcuts': keyName })}
    >
      {children}
      {keyName === undefined ? null : (
        <span className="kbd" aria-hidden="true">
          {keyName}
        </span>
      )}
    </button>
  );
}
