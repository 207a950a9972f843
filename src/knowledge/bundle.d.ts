// The file that write-bundle.ts makes; wrangler.toml says where it stands ([alias]).
declare module 'knowledge-bundle' {
  /** Checked when it was written; `entries` are KnowledgeEntries. */
  const bundle: { readonly version: string; readonly entries: unknown };
  export default bundle;
}
