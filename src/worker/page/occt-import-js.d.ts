declare module 'occt-import-js' {
  /** See `OcctFactory`. */
  const factory: unknown;
  export default factory;
}
