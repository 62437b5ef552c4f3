/** Shapes the readings screen is sent. PLACEHOLDER: its owner fills it in first. */
export interface ReadingDetail {
  readonly placeholder: true;
}
export interface ReadingsPage {
  readonly placeholder: true;
}
