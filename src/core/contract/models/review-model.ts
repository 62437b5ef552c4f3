/** Shapes the review screen is sent. PLACEHOLDER: its owner fills it in first. */
export interface CollectionModel {
  readonly placeholder: true;
}
export interface ReviewModel {
  readonly placeholder: true;
}
