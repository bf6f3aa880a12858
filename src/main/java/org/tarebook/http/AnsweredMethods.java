package org.tarebook.http;

import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.springframework.beans.factory.annotation.Qualifier;
import org.springframework.context.annotation.Lazy;
import org.springframework.http.HttpMethod;
import org.springframework.http.server.PathContainer;
import org.springframework.stereotype.Component;
import org.springframework.web.bind.annotation.RequestMethod;
import org.springframework.web.servlet.mvc.method.RequestMappingInfo;
import org.springframework.web.servlet.mvc.method.annotation.RequestMappingHandlerMapping;
import org.springframework.web.util.pattern.PathPattern;

/** Which methods an address answers, and where facts about the very thing can be posted. */
@Component
class AnsweredMethods {

  private final RequestMappingHandlerMapping mapping;

  AnsweredMethods(
      @Lazy @Qualifier("requestMappingHandlerMapping") RequestMappingHandlerMapping mapping) {
    this.mapping = mapping;
  }

  /**
   * What one address answers.
   *
   * @param here the methods of the address itself
   * @param below the last parts of the addresses directly below it that take a POST
   */
  record Found(Set<HttpMethod> here, Set<String> below) {

    /** What is possible, as a sentence. */
    String sentence(String address) {
      String methods = String.join(", ", here.stream().map(HttpMethod::name).toList());
      String posts =
          String.join(" and ", below.stream().map(part -> "POST " + address + part).toList());
      return "Possible here: " + methods + "." + (posts.isEmpty() ? "" : " Also: " + posts + ".");
    }
  }

  /** What the closest pattern of an address answers; absent where no controller has one. */
  Optional<Found> at(String address) {
    PathContainer path = PathContainer.parsePath(address);
    return patterns().keySet().stream()
        .filter(pattern -> pattern.matches(path))
        .min(Comparator.naturalOrder())
        .map(closest -> found(closest.getPatternString()));
  }

  private Found found(String closest) {
    Set<HttpMethod> here = new LinkedHashSet<>();
    Set<String> below = new TreeSet<>();
    patterns()
        .forEach(
            (pattern, methods) -> {
              String text = pattern.getPatternString();
              if (text.equals(closest)) {
                methods.forEach(method -> here.add(method.asHttpMethod()));
                if (methods.contains(RequestMethod.GET)) {
                  here.add(HttpMethod.HEAD);
                }
              } else if (text.startsWith(closest + "/") && methods.contains(RequestMethod.POST)) {
                String part = text.substring(closest.length());
                if (part.indexOf('/', 1) < 0 && part.indexOf('{') < 0) {
                  below.add(part);
                }
              }
            });
    return new Found(here, below);
  }

  private Map<PathPattern, Set<RequestMethod>> patterns() {
    Map<PathPattern, Set<RequestMethod>> methods = new TreeMap<>();
    for (RequestMappingInfo info : mapping.getHandlerMethods().keySet()) {
      Stream.ofNullable(info.getPathPatternsCondition())
          .flatMap(condition -> condition.getPatterns().stream())
          .forEach(
              pattern ->
                  methods
                      .computeIfAbsent(pattern, unseen -> new TreeSet<>())
                      .addAll(info.getMethodsCondition().getMethods()));
    }
    return methods;
  }
}
