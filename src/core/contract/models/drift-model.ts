/** Shapes the drift screen is sent. PLACEHOLDER: its owner fills it in first. */
export interface DriftModel {
  readonly placeholder: true;
}
export interface DriftToolModel {
  readonly placeholder: true;
}
