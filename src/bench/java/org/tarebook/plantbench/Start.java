package org.tarebook.plantbench;

import java.util.Locale;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/**
 * From the start of the process to the first answer, against an empty service of the same stack.
 * Both run from folders of classes, which class data sharing does not take; its gain is measured by
 * hand on the package.
 */
final class Start {

  private static final int ROUNDS = 5;

  private final Table table;

  Start(Table table) {
    this.table = table;
  }

  void run() {
    TestDatabase database = TestDatabase.create(Vendor.H2);
    Service.tarebook(database).close();
    double[] own = new double[ROUNDS];
    double[] bare = new double[ROUNDS];
    for (int round = 0; round < ROUNDS; round++) {
      own[round] = seconds(Service.tarebook(database));
      bare[round] = seconds(Service.bare(database));
    }
    double tarebook = Load.median(own);
    double other = Load.median(bare);
    table.atMost(
        "start to first answer, H2",
        shown(tarebook),
        "bare endpoint " + shown(other),
        tarebook / other,
        1.5);
  }

  private static String shown(double seconds) {
    return String.format(Locale.ROOT, "%.1f s", seconds);
  }

  private static double seconds(Service service) {
    service.close();
    return service.firstAnswer().toMillis() / 1000.0;
  }
}
