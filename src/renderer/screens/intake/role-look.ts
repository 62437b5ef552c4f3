/** How a role's span is underlined: the hue says its family, the style tells it apart inside the family. */
import type { Role } from '#core/intake/vocabulary.ts';

export interface RoleLook {
  readonly family: 'when' | 'measure' | 'who' | 'judged' | 'none';
  readonly style: 'solid' | 'dotted' | 'double' | 'dashed';
}

const looks: Readonly<Record<Role, RoleLook>> = {
  date: { family: 'when', style: 'solid' },
  time: { family: 'when', style: 'dotted' },
  'date-time': { family: 'when', style: 'double' },
  sequence: { family: 'when', style: 'dashed' },
  torque: { family: 'measure', style: 'solid' },
  'torque-unit': { family: 'measure', style: 'dotted' },
  angle: { family: 'measure', style: 'double' },
  target: { family: 'measure', style: 'dashed' },
  'low-limit': { family: 'measure', style: 'dashed' },
  'high-limit': { family: 'measure', style: 'dashed' },
  joint: { family: 'who', style: 'solid' },
  tool: { family: 'who', style: 'double' },
  operator: { family: 'who', style: 'dotted' },
  station: { family: 'who', style: 'dashed' },
  fastener: { family: 'who', style: 'dashed' },
  'batch-position': { family: 'who', style: 'dashed' },
  'batch-size': { family: 'who', style: 'dashed' },
  'own-result': { family: 'judged', style: 'solid' },
  note: { family: 'judged', style: 'dotted' },
  ignore: { family: 'none', style: 'solid' },
};

/** CSS class of a span of this role. */
export const roleClass = (role: Role): string => `role ${looks[role].family} ${looks[role].style}`;

export const roleLook = (role: Role): RoleLook => looks[role];
