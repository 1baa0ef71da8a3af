/**
 * The version of an import's dry run. It tells both the answers given and the working copy compared with: two counts that only grow,
 * so their sum stands still only while both do.
 */
export const dryRunVersion = (file: { readonly version: number }, structure: { readonly version: number }): number =>
  file.version + structure.version;
