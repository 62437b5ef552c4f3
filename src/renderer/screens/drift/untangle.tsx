import type { ReactNode } from 'react';
import type { TangledGroup } from '#core/contract/models/drift-model.ts';
import { Region } from '../../parts/region.tsx';
import { Sentence } from '../../parts/sentence.tsx';
import { t } from '../../parts/text.ts';

/** What cannot be told apart, as one joined bar a group, and the least work that would tell it. */
export function Untangle({ groups }: { groups: readonly TangledGroup[] }): ReactNode {
  if (groups.length === 0) return null;
  return (
    <Region title={t('ui.drift.tangled', {})} note={t('ui.drift.tangled.note', {})}>
      <ul className="tangled">
        {groups.map((group) => (
          <li key={[...group.tools, ...group.operators, ...group.joints].join(' ')}>
            <span className="joined">
              {[...group.tools, ...group.operators, ...group.joints].map((name) => (
                <span key={name}>{name}</span>
              ))}
            </span>
            <span>
              <Sentence of={group.says} /> <span className="second">{<Sentence of={group.untangleSays} />}</span>
            </span>
          </li>
        ))}
      </ul>
    </Region>
  );
}
