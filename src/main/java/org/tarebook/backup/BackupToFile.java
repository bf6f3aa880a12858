package org.tarebook.backup;

import java.io.IOException;
import java.io.PrintStream;
import java.util.List;
import org.springframework.stereotype.Component;
import org.tarebook.storage.Command;
import org.tarebook.storage.NewFile;

/** {@code backup FILE}: all that the database knows is in it. */
@Component
class BackupToFile implements Command {

  private final Backups backups;

  BackupToFile(Backups backups) {
    this.backups = backups;
  }

  @Override
  public String name() {
    return "backup";
  }

  @Override
  public String usage() {
    return "FILE: writes the whole record into a new zip of CSV files";
  }

  @Override
  public boolean needsCurrentSchema() {
    return false;
  }

  @Override
  public void run(List<String> arguments, PrintStream progress) throws IOException {
    Manifest manifest =
        NewFile.write(
            NewFile.of(arguments, this), out -> backups.write(out, Progress.ofWriting(progress)));
    progress.println("Backed up " + manifest.summary());
  }
}
