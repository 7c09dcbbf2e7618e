declare module 'occt-import-js' {
  /** See `OcctFactory`. */
  const factory: unknown;
  // biome-ignore lint/style/noDefaultExport: as the package has it
  export default factory;
}
