/** Starts the language server of the program for the journals that are open, and ends it with the editor. */
const { workspace } = require('vscode');
const { LanguageClient, TransportKind } = require('vscode-languageclient/node');

let client;

exports.activate = () => {
  const settings = workspace.getConfiguration('ullage');
  const [command, ...words] = settings.get('command', ['ullage']);
  const args = [...words, 'language-server'];
  client = new LanguageClient(
    'ullage',
    'Cellar book',
    { command, args, transport: TransportKind.stdio },
    {
      documentSelector: [{ language: 'cellar', scheme: 'file' }],
      initializationOptions: { journals: settings.get('journals', []) },
    },
  );
  return client.start();
};

exports.deactivate = () => client?.stop();
