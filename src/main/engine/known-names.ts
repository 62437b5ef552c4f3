import type { KnownNames } from '../reader/read-dump.ts';
import type { RegisterState } from './register-state.ts';

/** What the reader is told of the register: names it may meet, and limits that speak for or against a reading of a file. */
export function knownNames(state: RegisterState): KnownNames {
  const { register } = state;
  return {
    tools: register.tools.map((tool) => tool.serial),
    operators: register.operators.map((operator) => operator.badge),
    joints: register.joints.map((joint, index) => {
      const last = joint.revisions.at(-1);
      return {
        name: joint.name,
        unit: last?.unit ?? null,
        low: last?.low ?? null,
        target: last?.target ?? null,
        high: last?.high ?? null,
        direction: joint.direction,
        alsoWritten: state.writtenOfJoint(index),
      };
    }),
  };
}
