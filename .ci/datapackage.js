// Reads the exported tables with an independent reader of the open standard: every row
// is cast to the types of the descriptor and every key is followed.
const { Package } = require('datapackage');

async function main(folder) {
  const pack = await Package.load(folder + '/datapackage.json', { basePath: folder });
  if (!pack.valid) throw new Error(pack.errors.map(String).join('\n'));
  let tables = 0, rows = 0;
  for (const resource of pack.resources) {
    const all = await resource.read({ keyed: true, relations: false });
    if (all.length === 0) throw new Error(resource.name + ' has no rows');
    if (resource.schema.foreignKeys.length > 0) await resource.checkRelations();
    tables++;
    rows += all.length;
  }
  console.log(`${tables} tables, ${rows} rows`);
}

main(process.argv[2]).catch((error) => {
  console.error(error.errors && error.errors.length > 0 ? error.errors.map(String).join('\n') : error);
  process.exit(1);
});
