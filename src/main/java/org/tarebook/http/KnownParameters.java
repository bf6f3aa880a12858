package org.tarebook.http;

import jakarta.servlet.DispatcherType;
import jakarta.servlet.http.HttpServletRequest;
import jakarta.servlet.http.HttpServletResponse;
import java.lang.reflect.RecordComponent;
import java.util.Collection;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.concurrent.ConcurrentHashMap;
import org.springdoc.core.annotations.ParameterObject;
import org.springframework.core.MethodParameter;
import org.springframework.web.bind.annotation.RequestParam;
import org.springframework.web.method.HandlerMethod;
import org.springframework.web.servlet.HandlerInterceptor;
import org.tarebook.quantity.Quoted;

/**
 * Refuses query parameters that an address does not know, that come twice where it takes one, or
 * that are empty where it takes something other than text: a misspelt filter that is quietly
 * ignored would give wrong figures that look right.
 */
class KnownParameters implements HandlerInterceptor {

  /** Of each method the names it takes, each with the type of its value. */
  private final ConcurrentHashMap<java.lang.reflect.Method, SortedMap<String, Class<?>>> known =
      new ConcurrentHashMap<>();

  @Override
  public boolean preHandle(
      HttpServletRequest request, HttpServletResponse response, Object handler) {
    if (request.getQueryString() != null
        && request.getDispatcherType() == DispatcherType.REQUEST
        && handler instanceof HandlerMethod method
        && method.getBeanType().getName().startsWith("org.tarebook.")) {
      SortedMap<String, Class<?>> names =
          known.computeIfAbsent(method.getMethod(), m -> names(method));
      Faults faults = new Faults();
      request.getParameterMap().forEach((name, values) -> check(name, values, names, faults));
      faults.throwIfAny(ProblemType.INVALID_REQUEST);
    }
    return true;
  }

  private static void check(
      String name, String[] values, SortedMap<String, Class<?>> names, Faults faults) {
    Class<?> type = names.get(name);
    if (type == null) {
      faults.add(
          Values.unkeepable(name) == null ? name : Quoted.of(name),
          "is not a parameter here; "
              + (names.isEmpty()
                  ? "there are none"
                  : "known are " + String.join(", ", names.keySet())));
    } else if (!Collection.class.isAssignableFrom(type) && values.length > 1) {
      faults.add(name, "is given " + values.length + " times; send it once");
    } else {
      for (String value : values) {
        String refusal = Values.unkeepable(value);
        if (refusal != null) {
          faults.add(name, refusal);
        } else if (value.isEmpty() && type != String.class) {
          faults.add(name, "is empty; send a value or leave it out");
        }
      }
    }
  }

  private static SortedMap<String, Class<?>> names(HandlerMethod method) {
    SortedMap<String, Class<?>> names = new TreeMap<>();
    for (MethodParameter parameter : method.getMethodParameters()) {
      RequestParam named = parameter.getParameterAnnotation(RequestParam.class);
      if (named != null) {
        String explicit = named.name().isEmpty() ? named.value() : named.name();
        names.put(
            explicit.isEmpty() ? parameter.getParameter().getName() : explicit,
            parameter.getParameterType());
      } else if (parameter.hasParameterAnnotation(ParameterObject.class)) {
        for (RecordComponent component : parameter.getParameterType().getRecordComponents()) {
          names.put(component.getName(), component.getType());
        }
      }
    }
    return names;
  }
}
