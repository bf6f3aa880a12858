package org.tarebook.plantbench;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/** From the start of the process to the first answer, against an empty service of the same stack. */
final class Start {

  private static final int ROUNDS = 5;

  private final Table table;

  Start(Table table) {
    this.table = table;
  }

  void run() throws IOException {
    TestDatabase database = TestDatabase.create(Vendor.H2);
    Service.tarebook(database).close();
    Path archive = Files.createTempDirectory("cds").resolve("tarebook.jsa");
    Service.tarebook(
            database, "-XX:ArchiveClassesAtExit=" + archive, "--tarebook.segments-every=PT1H")
        .close();
    double[] own = new double[ROUNDS];
    double[] shared = new double[ROUNDS];
    double[] bare = new double[ROUNDS];
    for (int round = 0; round < ROUNDS; round++) {
      own[round] = seconds(Service.tarebook(database));
      shared[round] = seconds(Service.tarebook(database, "-XX:SharedArchiveFile=" + archive));
      bare[round] = seconds(Service.bare(database));
    }
    double other = Load.median(bare);
    tell("start to first answer, H2", Load.median(own), other);
    tell("the same with class data sharing", Load.median(shared), other);
  }

  private void tell(String part, double own, double other) {
    table.atMost(part, shown(own), "bare endpoint " + shown(other), own / other, 1.5);
  }

  private static String shown(double seconds) {
    return String.format(Locale.ROOT, "%.1f s", seconds);
  }

  private static double seconds(Service service) {
    service.close();
    return service.firstAnswer().toMillis() / 1000.0;
  }
}
