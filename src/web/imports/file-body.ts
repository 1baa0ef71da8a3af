/** The bytes of a file as they are: the document describes a body of text, and a body of JSON is what would be sent without this. */
export const fileBody = (file: File) => ({
  body: '' as string,
  bodySerializer: () => file,
  headers: { 'content-type': 'application/octet-stream' },
});
