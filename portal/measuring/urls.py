from django.urls import path

from portal.measuring import views

urlpatterns = [
    path("clips/<uuid:pk>/result", views.clip_result, name="clip_result"),
    path("clips/<uuid:pk>/corrections", views.clip_correct, name="clip_correct"),
    path("clips/<uuid:pk>/<str:name>", views.clip_file, name="clip_file"),
]
