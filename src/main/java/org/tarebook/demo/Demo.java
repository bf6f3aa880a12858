package org.tarebook.demo;

import java.time.Duration;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.Locale;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.boot.context.event.ApplicationReadyEvent;
import org.springframework.context.annotation.Profile;
import org.springframework.context.event.EventListener;
import org.springframework.core.Ordered;
import org.springframework.core.annotation.Order;
import org.springframework.core.env.Environment;
import org.springframework.stereotype.Component;
import org.tarebook.access.Role;
import org.tarebook.access.Token;
import org.tarebook.access.Tokens;
import org.tarebook.audit.Actor;
import org.tarebook.item.Item;
import org.tarebook.item.Items;
import org.tarebook.plant.Components;
import org.tarebook.plant.Lines;
import org.tarebook.plant.Stations;
import org.tarebook.reading.Outcome;
import org.tarebook.reading.Readings;

/**
 * Makes the demo plant on an empty database: its masters over HTTP from the CSV files of {@code
 * db/demo}, its history through the features' own classes, with the clock set back. The history
 * begins at 06:00, whole weeks and the hours of the present day ago, and ends an hour before now,
 * so that the stories of its last night are those of the night before, whenever it is made.
 */
@Component
@Profile("demo")
@ConditionalOnWebApplication
class Demo {

  private static final Actor GATEWAY = new Actor("demo-gateway", Actor.Kind.SYSTEM, null);
  private static final Duration HOUR = Duration.ofHours(1);

  private final Environment environment;
  private final DemoClock clock;
  private final Tokens tokens;
  private final Lines lines;
  private final Stations stations;
  private final Components components;
  private final Items items;
  private final Readings readings;
  private final long seed;
  private final int weeks;

  Demo(
      Environment environment,
      DemoClock clock,
      Tokens tokens,
      Lines lines,
      Stations stations,
      Components components,
      Items items,
      Readings readings,
      @Value("${tarebook.demo-seed}") long seed,
      @Value("${tarebook.demo-weeks}") int weeks) {
    this.environment = environment;
    this.clock = clock;
    this.tokens = tokens;
    this.lines = lines;
    this.stations = stations;
    this.components = components;
    this.items = items;
    this.readings = readings;
    this.seed = seed;
    this.weeks = weeks;
  }

  @EventListener(ApplicationReadyEvent.class)
  @Order(Ordered.HIGHEST_PRECEDENCE)
  void make() {
    if (!lines.all().isEmpty()) {
      System.out.println(
          "The demo plant is there already; its tokens were printed when it was made.");
      return;
    }
    Instant end = clock.instant().minus(HOUR).truncatedTo(ChronoUnit.HOURS);
    Instant start = morning(end).minus(Duration.ofDays(7L * weeks));
    Tokens.Made quality = token("demo-quality", Role.QUALITY);
    clock.show(start);
    DemoClient client = new DemoClient(port(), quality.text());
    DemoPlant plant = new DemoPlant(client);
    DemoPresses presses = new DemoPresses(client, start, weeks, seed);
    plant.makeMasters(start);
    presses.makeMasters();
    long count = makeHistory(plant, presses, start, end);
    plant.answerSignals(Duration.between(start, end));
    clock.run();
    print(quality, count);
  }

  private long makeHistory(DemoPlant plant, DemoPresses presses, Instant start, Instant end) {
    DemoHistory history = new DemoHistory(start, seed);
    long greenTyre = components.get("GT-36").id();
    long count = 0;
    int told = -1;
    for (Instant hour = start; hour.isBefore(end); hour = hour.plus(HOUR)) {
      clock.show(hour.plus(HOUR));
      plant.makeEvents(history, start, hour);
      var postings = history.hour(hour);
      items.registerAll(
          history.greenTyres().stream()
              .map(number -> new Item(number, greenTyre, null, null, null))
              .toList(),
          GATEWAY);
      for (Outcome outcome : readings.record(postings, GATEWAY).outcomes()) {
        if (outcome.refusal() != null) {
          throw new IllegalStateException("The demo was refused", outcome.refusal());
        }
        count += outcome.readings().size();
      }
      presses.makeLoads(hour);
      int percent =
          (int)
              (100
                  * Duration.between(start, hour).toHours()
                  / Duration.between(start, end).toHours());
      if (percent / 5 != told) {
        told = percent / 5;
        System.out.printf(
            Locale.ROOT, "Making the demo plant: %d %%, %,d readings%n", told * 5, count);
      }
    }
    return count;
  }

  private Tokens.Made token(String name, Role role) {
    return tokens.make(new Token.Holder(name, Actor.Kind.PERSON, role, null), null, Actor.TAREBOOK);
  }

  private void print(Tokens.Made quality, long count) {
    Tokens.Made reader = token("demo-reader", Role.READER);
    Tokens.Made admin = token("demo-admin", Role.ADMIN);
    Tokens.Made station =
        tokens.make(
            new Token.Holder("T2-W1", Actor.Kind.STATION, Role.STATION, stations.get("T2-W1").id()),
            null,
            Actor.TAREBOOK);
    System.out.printf(
        Locale.ROOT,
        """

        The demo plant is ready: %,d readings of %d weeks, on this machine only.
        The API page is http://localhost:%d/api
        Tokens, shown this once:

          export STATION=%s
          export READER=%s
          export QUALITY=%s
          export ADMIN=%s

        """,
        count,
        weeks,
        port(),
        station.text(),
        reader.text(),
        quality.text(),
        admin.text());
    System.out.flush();
  }

  private int port() {
    return Integer.parseInt(environment.getRequiredProperty("local.server.port"));
  }

  /** The last 06:00 up to a moment. */
  private static Instant morning(Instant moment) {
    Duration six = Duration.ofHours(6);
    return moment.minus(six).truncatedTo(ChronoUnit.DAYS).plus(six);
  }
}
