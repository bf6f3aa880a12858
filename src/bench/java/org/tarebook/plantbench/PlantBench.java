package org.tarebook.plantbench;

import java.time.Duration;
import java.util.List;
import org.springframework.jdbc.core.JdbcTemplate;
import org.tarebook.fixtures.TestDatabase;
import org.tarebook.storage.Vendor;

/**
 * Plays a plant and prints ratios measured side by side.
 *
 * <p>Arguments: the parts, with commas between, of singles, bulk, cures, reports, start; then the size,
 * small or large.
 */
final class PlantBench {

  private PlantBench() {}

  public static void main(String[] args) throws Exception {
    List<String> parts = List.of(args[0].split(","));
    boolean large = args[1].equals("large");
    Table table = new Table();
    System.out.printf(
        "%d cores, %,d MB of memory, Java %s, %s, %s%n",
        Runtime.getRuntime().availableProcessors(),
        ((com.sun.management.OperatingSystemMXBean)
                    java.lang.management.ManagementFactory.getOperatingSystemMXBean())
                .getTotalMemorySize()
            >> 20,
        System.getProperty("java.version"),
        version(Vendor.POSTGRESQL, "select version()"),
        version(Vendor.H2, "select 'H2 ' || h2version()"));
    if (parts.contains("singles")) {
      Singles singles = new Singles(table, 128, Duration.ofSeconds(large ? 10 : 3));
      singles.run(Vendor.POSTGRESQL);
      singles.run(Vendor.H2);
    }
    if (parts.contains("bulk")) {
      Bulk bulk = new Bulk(table, 128, large ? 1_000_000 : 50_000);
      bulk.run(Vendor.POSTGRESQL);
      bulk.run(Vendor.H2);
    }
    if (parts.contains("cures")) {
      new Cures(table, large ? 100_000 : 10_000).run(Vendor.POSTGRESQL);
    }
    if (parts.contains("reports")) {
      new Reports(table, large ? 10_000_000 : 1_000_000).run();
    }
    if (parts.contains("start")) {
      new Start(table).run();
    }
    table.print();
    System.exit(0);
  }

  private static String version(Vendor vendor, String sql) {
    return new JdbcTemplate(TestDatabase.create(vendor).dataSource())
        .queryForObject(sql, String.class)
        .replaceFirst(" on .*", "");
  }
}
