/** Shapes the intake screen is sent. PLACEHOLDER: its owner fills it in first. */
export interface InboxModel {
  readonly placeholder: true;
}
export interface IntakeOutcome {
  readonly placeholder: true;
}
export interface IntakePreview {
  readonly placeholder: true;
}
export interface RejectedPage {
  readonly placeholder: true;
}
