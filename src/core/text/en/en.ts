/** The English catalogue: one file an area, so that each grows where it is used. */
import { common } from './common.ts';
import { drift } from './drift.ts';
import { figuresDriftStudy } from './figures-drift-study.ts';
import { intake } from './intake.ts';
import { problems } from './problems.ts';
import { readings } from './readings.ts';
import { register } from './register.ts';
import { report } from './report.ts';
import { review } from './review.ts';
import { shell } from './shell.ts';
import { store } from './store.ts';
import { study } from './study.ts';
import { ui } from './ui.ts';
import { uiDriftStudy } from './ui-drift-study.ts';
import { uiIntakeRegister } from './ui-intake-register.ts';

export const en = {
  ...common,
  ...problems,
  ...intake,
  ...review,
  ...drift,
  ...study,
  ...store,
  ...readings,
  ...register,
  ...report,
  ...ui,
  ...shell,
  ...figuresDriftStudy,
  ...uiDriftStudy,
  ...uiIntakeRegister,
};
