package org.tarebook.http;

import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.lang.reflect.RecordComponent;
import java.util.Arrays;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.core.MethodParameter;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.method.HandlerMethod;
import org.springframework.web.servlet.HandlerInterceptor;

/**
 * Refuses query parameters that an address does not know. A misspelt filter that is quietly ignored
 * would give wrong figures that look right.
 */
class KnownParameters implements HandlerInterceptor {

  private final ConcurrentHashMap<java.lang.reflect.Method, Set<String>> known =
      new ConcurrentHashMap<>();

  @Override
  public boolean preHandle(
      HttpServletRequest request, HttpServletResponse response, Object handler) {
    if (request.getQueryString() != null
        && handler instanceof HandlerMethod method
        && method.getBeanType().getName().startsWith("org.tarebook.")) {
      Set<String> names = known.computeIfAbsent(method.getMethod(), m -> names(method));
      Faults faults = new Faults();
      for (String name : request.getParameterMap().keySet()) {
        faults.require(
            names.contains(name),
            name,
            "is not a parameter here; "
                + (names.isEmpty() ? "there are none" : "known are " + String.join(", ", names)));
      }
      faults.throwIfAny(ProblemType.INVALID_REQUEST);
    }
    return true;
  }

  private static Set<String> names(HandlerMethod method) {
    Set<String> names = new TreeSet<>();
    for (MethodParameter parameter : method.getMethodParameters()) {
      RequestParam named = parameter.getParameterAnnotation(RequestParam.class);
      if (named != null) {
        String explicit = named.name().isEmpty() ? named.value() : named.name();
        names.add(explicit.isEmpty() ? parameter.getParameter().getName() : explicit);
      } else if (parameter.hasParameterAnnotation(ParameterObject.class)) {
        Arrays.stream(parameter.getParameterType().getRecordComponents())
            .map(RecordComponent::getName)
            .forEach(names::add);
      }
    }
    return names;
  }
}
