/** Wrong usage of the command line: said in one sentence, exit 4, nothing was read. */
export class WrongUsage extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'WrongUsage';
  }
}

export const helpText = `Usage: npm run --silent cli -- <verb> [options]

  intake FILE...      read dumps into the store
                      [--answer id=choice]... [--set tool=..|operator=..|joint=..|unit=..]... [--recipe FILE] [--dry-run]
  rows FILE...        the table as found, before any meaning is given to it   [--out DIR]
  withdraw SOURCE     take out of force what only this file shows
  restore SOURCE      put it back
  recipe list | export FILE | import FILE | delete FINGERPRINT
  register FILE       joints, limits, tools, operators, shifts, checks: in
  register --export   ... and out   [--csv DIR: one table a file]
  register --remove KIND NAME
                      takes out a joint, tool, operator or shift that nothing points to   [--why TEXT]
  readings [scope]    readings in force, judged, in time order
  review [scope]      pass/fail mix, causes, first pass, batches, operator x tool   [--out FILE.html|.pdf|.csv]
  drift [scope]       tools with their three evidence lanes, effects, finding   [--now TIME]
                      [--card SERIAL --out FILE.pdf|.html] [--affected SERIAL | --in-question SERIAL --out FILE.csv]
  study --joint NAME [scope] [--of torque|angle] [--attempts first|last|all]
                      [--within pooled|s-bar|r-bar|mr-bar|mr-median] [--subgroup N] [--model NAME]
                      [--requirement Ppk=1.33] [--judge low-end|estimate] [--seed N] [--fit-p]
                      [--baseline-from TIME] [--baseline-to TIME]
                      [--out FILE.html|.pdf|.docx|.csv|.json|.svg|.png] [--paper A4|letter]
  figure NAME [scope] --out FILE.svg|.png
  demo                fill the store with the sample scenario

Scope: --from TIME --to TIME --shift NAME --joint NAME --tool SERIAL --operator BADGE (repeatable), --unit CODE
Always: --store PATH, --json
Exit: 0 done, 2 a file waits for answers, 3 input cannot be used, 4 wrong usage, 5 the store cannot be used now, 1 a fault
Figures release nothing: the responsible engineer and local rules decide.
`;
