package org.tarebook.architecture;

import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.core.domain.Dependency;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.domain.JavaConstructorCall;
import com.tngtech.archunit.core.domain.JavaField;
import com.tngtech.archunit.core.domain.JavaMethodCall;
import com.tngtech.archunit.core.domain.JavaModifier;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;

class ArchitectureTests {

  private static final String ROOT = "org.tarebook";

  /**
   * Who may import whom: a package imports from itself and from rows below its own, never from its
   * own row. The empty name is the root package with the application class.
   */
  private static final List<Set<String>> ROWS =
      List.of(
          Set.of(""),
          Set.of("demo", "command"),
          Set.of("pages"),
          Set.of("capability", "rejects", "hold", "study"),
          Set.of("segment"),
          Set.of("control"),
          Set.of("reading", "cure"),
          Set.of("check"),
          Set.of("item", "chart", "schedule"),
          Set.of("access", "spec", "compound"),
          Set.of("plant", "backup"),
          Set.of("audit", "event"),
          Set.of("http"),
          Set.of("storage"),
          Set.of(
              "stats.baseline",
              "stats.capability",
              "stats.change",
              "stats.chart",
              "stats.compare",
              "stats.fit",
              "stats.measuring"),
          Set.of("stats", "thermal", "quantity", "drawing"));

  /** The lowest row and the rooms of its statistics. */
  private static final Set<String> PURE =
      ROWS.subList(ROWS.size() - 2, ROWS.size()).stream()
          .flatMap(Set::stream)
          .collect(Collectors.toUnmodifiableSet());

  /** Who acts reaches a feature as an Actor; only these may know about tokens. */
  private static final Set<String> KNOW_ACCESS = Set.of("access", "pages", "demo", "");

  private static final List<String> UNCLEAR_ENDINGS =
      List.of(
          "Dto", "Entity", "Impl", "Manager", "Helper", "Util", "Utils", "Common", "Base", "VO");

  private static final List<String> INJECTING =
      List.of(
          "org.springframework.beans.factory.annotation.Autowired",
          "org.springframework.beans.factory.annotation.Value",
          "jakarta.inject.Inject",
          "jakarta.annotation.Resource",
          "jakarta.persistence.PersistenceContext");

  private static final JavaClasses MAIN =
      new ClassFileImporter()
          .withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
          .importPackages(ROOT);

  @Test
  void everyPackageHasItsRow() {
    Map<String, Integer> rows = rows();
    assertThat(packagesOf(MAIN)).isNotEmpty().isSubsetOf(rows.keySet());
  }

  @Test
  void packagesImportOnlyFromRowsBelow() {
    Map<String, Integer> rows = rows();
    Set<String> wrong = new TreeSet<>();
    for (Dependency dependency : ownDependencies()) {
      String from = packageOf(dependency.getOriginClass());
      String to = packageOf(dependency.getTargetClass());
      if (!from.equals(to) && rows.getOrDefault(from, 0) >= rows.getOrDefault(to, 0)) {
        wrong.add(from + " -> " + to + ": " + dependency.getDescription());
      }
    }
    assertThat(wrong).isEmpty();
  }

  @Test
  void featuresDoNotKnowAboutTokens() {
    assertThat(
            ownDependencies().stream()
                .filter(dependency -> packageOf(dependency.getTargetClass()).equals("access"))
                .filter(dependency -> !KNOW_ACCESS.contains(packageOf(dependency.getOriginClass())))
                .map(Dependency::getDescription))
        .isEmpty();
  }

  @Test
  void arithmeticKnowsNeitherSpringNorSqlNorTheTimeOfDay() {
    Set<String> wrong = new TreeSet<>();
    for (JavaClass type : MAIN) {
      if (!PURE.contains(packageOf(type))) {
        continue;
      }
      for (Dependency dependency : type.getDirectDependenciesFromSelf()) {
        String target = dependency.getTargetClass().getName();
        if (target.startsWith("org.springframework.")
            || target.startsWith("java.sql.")
            || target.startsWith("javax.sql.")
            || target.startsWith("jakarta.")
            || target.equals("java.time.Clock")) {
          wrong.add(dependency.getDescription());
        }
      }
      type.getMethodCallsFromSelf().stream()
          .filter(call -> call.getTargetOwner().getName().equals("java.lang.System"))
          .filter(call -> Set.of("nanoTime", "currentTimeMillis").contains(call.getName()))
          .forEach(call -> wrong.add(call.getDescription()));
    }
    assertThat(wrong).isEmpty();
  }

  @Test
  void theTimeIsAskedOfTheInjectedClock() {
    Set<String> wrong = new TreeSet<>();
    for (JavaClass type : MAIN) {
      if (type.getName().equals(ROOT + ".http.HttpConfiguration")) {
        continue;
      }
      type.getMethodCallsFromSelf().stream()
          .filter(ArchitectureTests::asksTheSystemForTheTime)
          .forEach(call -> wrong.add(call.getDescription()));
      for (JavaConstructorCall call : type.getConstructorCallsFromSelf()) {
        if (call.getTargetOwner().getName().equals("java.util.Date")
            && call.getTarget().getRawParameterTypes().isEmpty()) {
          wrong.add(call.getDescription());
        }
      }
    }
    assertThat(wrong).isEmpty();
  }

  @Test
  void namesSayWhatAThingIs() {
    JavaClasses withTests = new ClassFileImporter().importPackages(ROOT);
    assertThat(
            withTests.stream()
                .map(JavaClass::getSimpleName)
                .filter(
                    name ->
                        UNCLEAR_ENDINGS.stream().anyMatch(name::endsWith)
                            || name.matches("Abstract[A-Z].*"))
                .sorted())
        .isEmpty();
  }

  @Test
  void nothingIsInjectedIntoFields() {
    assertThat(
            MAIN.stream()
                .flatMap(type -> type.getFields().stream())
                .filter(field -> INJECTING.stream().anyMatch(field::isAnnotatedWith))
                .map(JavaField::getFullName))
        .isEmpty();
  }

  @Test
  void controllersAndRepositoriesAreHidden() {
    List<JavaClass> hidden =
        MAIN.stream()
            .filter(
                type ->
                    type.isMetaAnnotatedWith("org.springframework.stereotype.Controller")
                        || type.getSimpleName().endsWith("Repository")
                            && !type.isAnnotatedWith(
                                "org.springframework.data.repository.NoRepositoryBean"))
            .toList();
    assertThat(hidden).isNotEmpty();
    assertThat(hidden)
        .allSatisfy(type -> assertThat(type.getModifiers()).doesNotContain(JavaModifier.PUBLIC));
  }

  @Test
  void everyPackageIsDescribedAndNullMarked() throws IOException {
    List<Path> folders;
    try (Stream<Path> files = Files.walk(Path.of("src/main/java"))) {
      folders =
          files
              .filter(file -> file.toString().endsWith(".java"))
              .map(Path::getParent)
              .distinct()
              .toList();
    }
    assertThat(folders).isNotEmpty();
    for (Path folder : folders) {
      assertThat(folder.resolve("package-info.java")).exists();
      assertThat(Files.readString(folder.resolve("package-info.java")))
          .as(folder.toString())
          .contains("@NullMarked")
          .startsWith("/**");
    }
  }

  private static boolean asksTheSystemForTheTime(JavaMethodCall call) {
    String owner = call.getTargetOwner().getName();
    return switch (call.getName()) {
      case "now" ->
          owner.startsWith("java.time.")
              && call.getTarget().getRawParameterTypes().stream()
                  .noneMatch(parameter -> parameter.getName().equals("java.time.Clock"));
      case "currentTimeMillis" -> owner.equals("java.lang.System");
      case "system", "systemUTC", "systemDefaultZone", "tickMillis", "tickSeconds", "tickMinutes" ->
          owner.equals("java.time.Clock") || owner.equals("java.time.InstantSource");
      case "getInstance" -> owner.equals("java.util.Calendar");
      default -> false;
    };
  }

  private static List<Dependency> ownDependencies() {
    List<Dependency> own = new ArrayList<>();
    for (JavaClass type : MAIN) {
      for (Dependency dependency : type.getDirectDependenciesFromSelf()) {
        if (dependency.getTargetClass().getPackageName().startsWith(ROOT)) {
          own.add(dependency);
        }
      }
    }
    return own;
  }

  private static Set<String> packagesOf(JavaClasses classes) {
    Set<String> packages = new TreeSet<>();
    classes.forEach(type -> packages.add(packageOf(type)));
    return packages;
  }

  private static String packageOf(JavaClass type) {
    String name = type.getBaseComponentType().getPackageName();
    return name.equals(ROOT) ? "" : name.substring(ROOT.length() + 1);
  }

  private static Map<String, Integer> rows() {
    Map<String, Integer> rows = new HashMap<>();
    for (int row = 0; row < ROWS.size(); row++) {
      for (String name : ROWS.get(row)) {
        assertThat(rows.put(name, row)).as(name + " stands in one row").isNull();
      }
    }
    return rows;
  }
}
