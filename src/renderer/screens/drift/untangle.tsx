import type { ReactNode } from 'react';
import type { TangledGroup } from '#core/contract/models/drift-model.ts';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

/** What cannot be told apart, as joined bars (names of one bar can be compared with each other), and the least work that would tell it. */
export function Untangle({ groups }: { groups: readonly TangledGroup[] }): ReactNode {
  if (groups.length === 0) return null;
  return (
    <Region title={t('ui.drift.tangled', {})} note={t('ui.drift.tangled.note', {})}>
      <ul className="tangled">
        {groups.map((group) => (
          <li key={[...group.tools, ...group.operators, ...group.joints].join(' ')}>
            <p>
              <Sentence of={group.says} />
            </p>
            {[group.sets.tools, group.sets.operators, group.sets.joints].map((sets, index) =>
              sets.length < 2 ? null : (
                // biome-ignore lint/suspicious/noArrayIndexKey: tools, operators and joints have fixed places
                <p key={index} className="sets">
                  {sets.map((set) => (
                    <span key={set.join(' ')} className="joined">
                      {set.map((name) => (
                        <span key={name}>{name}</span>
                      ))}
                    </span>
                  ))}
                </p>
              ),
            )}
            <p className="second">
              <Sentence of={group.untangleSays} />
            </p>
          </li>
        ))}
      </ul>
    </Region>
  );
}
